import type { ShorthandWord, VocabularyWords } from '../core/notation/shorthand-vocabulary.ts';
import { clayNames } from './clay-names.ts';
import type { BookKind, RecordOf } from './records/record.ts';

type Named<K extends BookKind> = Pick<RecordOf<K>, 'id' | 'body'>;

/** Records whose names and codes are words of the user. */
export interface WordRecords {
  readonly blocks: readonly Named<'block'>[];
  readonly lines: ReadonlyMap<string, Named<'line'>>;
  /** All of them, or those a text may mean. */
  readonly mixes: readonly {
    readonly id: string;
    readonly code?: string;
    readonly name?: string;
  }[];
  readonly powders: readonly Named<'powder'>[];
  readonly shortNames: NonNullable<RecordOf<'settings'>['body']['shortNames']>;
}

export interface BookWords {
  readonly words: VocabularyWords;
  /** Of every block, mix and powder that has a word. */
  readonly kindOf: ReadonlyMap<string, 'block' | 'mix' | 'powder'>;
}

/**
 * The words notes and recipes may use: short names, then codes of mixes, then names and codes of blocks,
 * mixes and powders. A block has its name, its name with its line, and the name people tell it by.
 */
export function wordsOfBook(records: WordRecords): BookWords {
  const { blocks, lines, mixes, powders, shortNames } = records;
  const kindOf = new Map<string, 'block' | 'mix' | 'powder'>([
    ...blocks.map(({ id }) => [id, 'block'] as const),
    ...mixes.map(({ id }) => [id, 'mix'] as const),
    ...powders.map(({ id }) => [id, 'powder'] as const),
  ]);
  const word = (said: string | undefined, clay: string): readonly ShorthandWord[] =>
    said === undefined || !kindOf.has(clay)
      ? []
      : [{ word: said, clay, ...(kindOf.get(clay) === 'powder' ? { powder: true } : {}) }];
  const fullNames = clayNames(blocks, lines);
  const names = [
    ...blocks.flatMap(({ id, body }) => {
      const line = lines.get(body.lineId)?.body.name ?? '';
      const called = new Set([
        body.name,
        `${line} ${body.name}`.trim(),
        fullNames.get(id),
        body.code,
      ]);
      return [...called].flatMap((said) => word(said, id));
    }),
    ...powders.flatMap(({ id, body }) => [...word(body.name, id), ...word(body.code, id)]),
    ...mixes.flatMap(({ id, name }) => word(name, id)),
  ];
  return {
    words: {
      shortNames: shortNames.flatMap(({ shortName, of }) => word(shortName, of.id)),
      names,
      codes: mixes.flatMap(({ id, code }) => word(code, id)),
    },
    kindOf,
  };
}
