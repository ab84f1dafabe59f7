import { codeKey } from '../core/notation/codes.ts';
import type { Vocabulary } from '../core/notation/shorthand-vocabulary.ts';

/** The clay or mix a word of the user means, or why that cannot be said. */
export type ClayInWords =
  | { readonly status: 'found'; readonly id: string }
  /** Several; the choices are words that mean one of them each. */
  | { readonly status: 'which-one'; readonly ids: readonly string[]; readonly says: string }
  | { readonly status: 'powder' | 'unknown'; readonly says: string };

/** What a name, code or short name in a recipe means; `K 7` is the code K7. */
export function clayInWords(word: string, words: Vocabulary): ClayInWords {
  const found = words.whole(word) ?? words.whole(codeKey(word));
  const said = `"${word.slice(0, 80)}"`;
  if (found === undefined) {
    return { status: 'unknown', says: `The book has no clay or mix ${said}.` };
  }
  if (found.powder === true) {
    const says = `${said} is a powder. A recipe in words counts clays and mixes; save a mix to add a powder.`;
    return { status: 'powder', says };
  }
  if (found.mayMean === undefined) return { status: 'found', id: found.clay };
  const choices = found.mayMean.map((id) => words.wordFor(id) ?? id);
  return {
    status: 'which-one',
    ids: found.mayMean,
    says: `${said} may mean ${choices.join(' or ')}.`,
  };
}
