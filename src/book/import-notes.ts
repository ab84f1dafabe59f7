import { AppError } from '../core/errors.ts';
import { type BlockRead, readShorthandBlock } from '../core/notation/shorthand-block.ts';
import type { ShorthandWord, VocabularyWords } from '../core/notation/shorthand-vocabulary.ts';
import type { BookStep } from '../domain/records/change.ts';
import { type BookKind, type RecordOf, SETTINGS_ID } from '../domain/records/record.ts';
import type { Changed } from './book.ts';
import { allAt, type BookService } from './book-service.ts';

export interface ShorthandCall {
  /** Lines of an old book, or rows pasted from a sheet with their headings. */
  readonly text: string;
  /** What the page is called in messages. */
  readonly from: string;
  readonly basis?: 'volume' | 'weight';
  /** Only look, keep nothing. */
  readonly check?: boolean;
  readonly newId: () => string;
}

export interface NotesImported {
  readonly read: BlockRead;
  /** Absent where it was only looked at. */
  readonly changed?: Changed;
}

export interface BookWords {
  readonly words: VocabularyWords;
  /** Of every block, mix and powder. */
  readonly kindOf: ReadonlyMap<string, BookKind>;
}

/**
 * The words her shorthand may use: her short names, then codes of mixes, then names and codes of blocks,
 * mixes and powders; blocks of one name are told apart by their line.
 */
export async function wordsOfBook(desk: Pick<BookService, 'get' | 'list'>): Promise<BookWords> {
  const blocks = await allAt(desk, 'block');
  const mixes = await allAt(desk, 'mix');
  const powders = await allAt(desk, 'powder');
  const lines = new Map((await allAt(desk, 'line')).map(({ id, body }) => [id, body.name]));
  const settings = (await desk.get(SETTINGS_ID)) as RecordOf<'settings'> | undefined;
  const kindOf = new Map<string, BookKind>(
    [...blocks, ...mixes, ...powders].map(({ id, kind }) => [id, kind]),
  );
  const word = (said: string | undefined, clay: string): readonly ShorthandWord[] =>
    said === undefined || !kindOf.has(clay)
      ? []
      : [{ word: said, clay, ...(kindOf.get(clay) === 'powder' ? { powder: true } : {}) }];
  const names = [
    ...blocks.flatMap(({ id, body }) => [
      ...word(body.name, id),
      ...word(`${lines.get(body.lineId) ?? ''} ${body.name}`.trim(), id),
      ...word(body.code, id),
    ]),
    ...powders.flatMap(({ id, body }) => [...word(body.name, id), ...word(body.code, id)]),
    ...mixes.flatMap(({ id, body }) => word(body.name, id)),
  ];
  const shortNames = (settings?.body.shortNames ?? []).flatMap(({ shortName, of }) =>
    word(shortName, of.id),
  );
  const codes = mixes.flatMap(({ id, body }) => word(body.code, id));
  return { words: { shortNames, names, codes }, kindOf };
}

/**
 * Keeps a page of an old paper book: every line a mix, all of them or none.
 * Refuses: lines that cannot be read -> shorthand-unreadable (bad-input), all at once with their places
 *          in `more`; what `changeBook` refuses
 */
export async function importNotes(desk: BookService, call: ShorthandCall): Promise<NotesImported> {
  const { text, from, basis, check = false, newId } = call;
  const { words, kindOf } = await wordsOfBook(desk);
  const read = readShorthandBlock(text, words, basis === undefined ? {} : { basis });
  if (read.unreadable > 0) throw unreadableNotes(read, from);
  if (check || read.mixes === 0) return { read };
  const ids = new Map(
    read.lines.flatMap((line) => (line.kind === 'mix' ? [[line.id, newId()] as const] : [])),
  );
  const steps = read.lines.flatMap((line): BookStep[] => {
    if (line.kind !== 'mix') return [];
    const { code, name, parts, powders, tags, note, basis: counted } = line.mix;
    return [
      {
        do: 'put',
        kind: 'mix',
        id: ids.get(line.id)!,
        body: {
          ...(code === undefined ? {} : { code }),
          ...(name === undefined && code !== undefined
            ? {}
            : { name: name ?? onOneLine(line.raw).slice(0, 200) }),
          basis: counted,
          status: 'saved',
          parts: parts.map(({ clay, parts: count }) => ({
            of: {
              kind: kindOf.get(clay) === 'block' ? 'block' : 'mix',
              id: ids.get(clay) ?? clay,
            },
            parts: count,
          })),
          ...(powders.length === 0
            ? {}
            : { powders: powders.map(({ powder, share }) => ({ powderId: powder, share })) }),
          ...(tags.length === 0 ? {} : { tags }),
          ...(note === undefined ? {} : { note }),
          written: onOneLine(line.raw).slice(0, 1000),
        },
      },
    ];
  });
  const what =
    steps.length === 1
      ? `Saved ${onOneLine(read.lines.find(({ kind }) => kind === 'mix')?.raw ?? '')}`.slice(0, 300)
      : `Took in ${steps.length} mixes from ${from}`.slice(0, 300);
  return { read, changed: await desk.change({ what, steps }) };
}

/** A row of a sheet has tabs in it, which a line of text has not. */
function onOneLine(raw: string): string {
  return raw.replace(/\s+/gu, ' ').trim();
}

function unreadableNotes(read: BlockRead, from: string): AppError {
  const errors = read.lines.flatMap((line) =>
    line.kind === 'errors' ? line.errors.map((error) => ({ line: line.line, ...error })) : [],
  );
  const [first] = errors;
  const more =
    read.unreadable === 1 ? '' : ` ${read.unreadable} lines of ${from} cannot be read yet.`;
  return new AppError({
    code: 'shorthand-unreadable',
    kind: 'bad-input',
    detail: `${from}, line ${first.line}, column ${first.column}: ${first.message}${more}`,
    hint: 'Nothing was kept. Correct the lines, or define a sign with "kneadwell add sign".',
    more: { errors: errors.slice(0, 1000) },
  });
}
