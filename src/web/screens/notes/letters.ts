import { clayKey } from '../../../core/notation/clay-name.ts';
import type { BlockRead } from '../../../core/notation/shorthand-block.ts';
import { shortNameProblem } from '../../../core/notation/shorthand-vocabulary.ts';

/** A letter or word of the notes that names no clay yet. */
export interface UnknownLetter {
  readonly letters: string;
  /** What the notes say it means: "white". */
  readonly means?: string;
  /** Lines that use it. */
  readonly lines: number;
}

/** Clays the user chose for letters of the notes, by letter. */
export type ChosenLetters = Readonly<Record<string, string>>;

export function isChosenLetters(saved: unknown): saved is ChosenLetters {
  return (
    typeof saved === 'object' &&
    saved !== null &&
    Object.values(saved).every((id) => typeof id === 'string')
  );
}

/** No clay is called ":", "(baked" or "min)". */
function mayBeClay(word: string): boolean {
  return /\p{L}/u.test(word) && !/[()[\]{}]/.test(word);
}

/** Every letter that is not known, once, those used most first. */
export function unknownLetters({ lines }: BlockRead): readonly UnknownLetter[] {
  const means = new Map<string, string>();
  const used = new Map<string, number>();
  for (const line of lines) {
    if (line.kind === 'remark') {
      for (const one of line.letters ?? []) means.set(one.letters, one.means);
    }
    if (line.kind !== 'errors') continue;
    const words = line.errors.flatMap(({ unknown }) => unknown ?? []).filter(mayBeClay);
    for (const word of new Set(words)) {
      used.set(word, (used.get(word) ?? 0) + 1);
    }
  }
  return [...used]
    .toSorted(([, one], [, other]) => other - one)
    .map(([letters, count]) => {
      const meant = means.get(letters);
      return { letters, lines: count, ...(meant === undefined ? {} : { means: meant }) };
    });
}

/** Chosen letters as words of the notes: short ones are short names, longer ones are names. */
export function wordsChosen(chosen: ChosenLetters) {
  const words = Object.entries(chosen).map(([word, clay]) => ({ word, clay }));
  return {
    shortNames: words.filter(({ word }) => shortNameProblem(word) === undefined),
    names: words.filter(({ word }) => shortNameProblem(word) !== undefined),
  };
}

/** The block a word of the notes may mean: of that name, else of that colour. */
export function guessOf(
  means: string,
  blocks: readonly { readonly id: string; readonly name: string; readonly spoken: string }[],
): string | undefined {
  const key = clayKey(means);
  const named = blocks.find(({ name }) => clayKey(name) === key);
  return (named ?? blocks.find(({ spoken }) => clayKey(spoken).split(' ').includes(key)))?.id;
}
