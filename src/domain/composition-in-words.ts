import type { Basis, MixNode } from '../core/mixes/mix-graph.ts';
import type { Resolution } from '../core/mixes/resolve-mix.ts';
import { parseRecipe } from '../core/notation/notation.ts';
import type { Vocabulary } from '../core/notation/shorthand-vocabulary.ts';

/** A recipe in words as parts of things in the book, or what is unclear in the words. */
export type PartsInWords =
  | { readonly status: 'read'; readonly mix: MixNode }
  /** A word means several things; the choices are words that mean one of them each. */
  | {
      readonly status: 'which-one';
      readonly word: string;
      readonly choices: readonly string[];
      readonly says: string;
    }
  | { readonly status: 'unknown-word'; readonly word: string; readonly says: string };

/**
 * Which clays and mixes of the book a recipe names: `3 W1 + 1 Limpet`.
 * Refuses: words without one meaning, as a value; text that is no recipe -> recipe-unreadable
 */
export function partsInWords(text: string, words: Vocabulary, basis: Basis): PartsInWords {
  const parts: { readonly clay: string; readonly parts: number }[] = [];
  for (const { clay: word, parts: count } of parseRecipe(text)) {
    const found = words.whole(word);
    if (found === undefined) {
      const nearest = words.nearest(word);
      const hint = nearest === undefined ? '' : ` Did you mean ${nearest}?`;
      return { status: 'unknown-word', word, says: `The book has no clay or mix ${word}.${hint}` };
    }
    if (found.powder === true) {
      const says = `${word} is a powder. A recipe in words counts clays and mixes alone; save a mix to add a powder to it.`;
      return { status: 'unknown-word', word, says };
    }
    if (found.mayMean !== undefined) {
      const choices = found.mayMean.flatMap((clay) => words.wordFor(clay) ?? []);
      const says = `${word} may mean ${choices.join(' or ')}. Write the one you mean.`;
      return { status: 'which-one', word, choices, says };
    }
    parts.push({ clay: found.clay, parts: count });
  }
  return { status: 'read', mix: { basis, parts } };
}

/** What a recipe in words is made of in the end, or why that cannot be said. */
export type CompositionInWords = Resolution | Exclude<PartsInWords, { readonly status: 'read' }>;
