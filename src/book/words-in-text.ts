import { SHORTHAND_LIMITS } from '../core/notation/shorthand-line.ts';
import { foldedText, naturalKey } from '../domain/index-fields.ts';
import type { Book } from './book.ts';

/** A mix that a text names, by its code or its name. */
export interface WordInText {
  readonly id: string;
  readonly code?: string;
  readonly name?: string;
}

/** Words of the longest name that is looked for. */
export const LONGEST_NAME_WORDS = 12;
/** Runs of letters, digits and signs that may make one name or code, spaces not counted. */
const MOST_RUNS = 2 * LONGEST_NAME_WORDS;
/** Letters, digits, or what parts them. */
const RUN = /[\p{L}\p{M}]+|\p{N}+|[^\p{L}\p{M}\p{N}]+/gu;

/**
 * Mixes whose code or whole name stands in a text, glued to a count or not: all that a page of an old
 * book can mean, of however many there are.
 * Limits:  names of up to LONGEST_NAME_WORDS words; of lines that are too long to be read, nothing
 * Time:    in proportion to the text: from each place at most MOST_RUNS runs are looked up
 */
export async function wordsInText(
  { index, ports }: Book,
  text: string,
): Promise<readonly WordInText[]> {
  await index.current();
  const { table, words } = index;
  const ids = new Set<string>();
  const looked = new Set<string>();
  const look = (key: string) => {
    if (looked.has(key)) return;
    looked.add(key);
    for (const number of words.titled(key)) {
      if (table.isLive(number, 'mix')) ids.add(table.idAt(number));
    }
  };
  for (const line of text.split('\n')) {
    if (line.length > SHORTHAND_LIMITS.characters) continue;
    // Keys of runs side by side are the key of the whole: digits are counted run by run.
    const runs = [...line.matchAll(RUN)].map(([run]) => naturalKey(foldedText(run)));
    for (let from = 0; from < runs.length; from++) {
      if (runs[from] === '') continue;
      let [spaced, squeezed] = ['', ''];
      const last = Math.min(runs.length, from + MOST_RUNS + LONGEST_NAME_WORDS);
      for (let to = from, spaces = 0; to < last && spaces < LONGEST_NAME_WORDS; to++) {
        if (runs[to] === '') {
          spaced += ' ';
          spaces++;
          continue;
        }
        spaced += runs[to];
        squeezed += runs[to];
        look(spaced);
        look(squeezed);
      }
    }
  }
  const found = await ports.store.getMany([...ids]);
  return [...found.values()].flatMap(({ id, kind, body }) => {
    if (kind !== 'mix') return [];
    const { code, name } = body;
    return [
      { id, ...(code === undefined ? {} : { code }), ...(name === undefined ? {} : { name }) },
    ];
  });
}
