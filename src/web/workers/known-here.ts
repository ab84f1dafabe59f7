import { type ClayHints, type KnownClays, knownClays } from '../../core/find/known-clays.ts';
import type { OpenSource } from './open-clay.ts';

/** Hints for errors, in the words of the page. */
const HINTS: ClayHints = {
  all: 'the clays of your book',
  names: 'Stock has them all',
  line: 'Give each block its line in Stock.',
  perhapsLine: 'Lines are named in Stock.',
  stock: 'Enter in Stock what you have.',
  grams: 'Enter their amounts in Stock.',
  density: 'Enter the density of each line in Stock.',
};

/** The open clays under the names of the page, of which recipes may use some. */
export function knownHere(
  { predictor, basis, isRough }: OpenSource,
  { names, usable }: { readonly names: readonly string[]; readonly usable: readonly number[] },
): KnownClays {
  const rough = new Set(isRough.flatMap((is, i) => (is ? [i] : [])));
  return { ...knownClays(predictor, names, basis, HINTS), usable, rough };
}

/** Lets a waiting message arrive. */
export function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(undefined);
  });
}
