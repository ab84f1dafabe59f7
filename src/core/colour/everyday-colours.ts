import { ISCC_NBS } from './iscc-nbs.data.ts';

/**
 * Everyday words for colours that are no part of an ISCC-NBS name, as numbers of the names whose colours
 * people call so (common practice, no source).
 */
const EVERYDAY: Readonly<Record<string, readonly number[]>> = {
  amber: [48, 50, 66, 68, 69],
  apricot: [49, 52, 53, 67, 70, 71],
  aqua: [158, 159, 162, 163, 167, 168, 171, 172],
  aubergine: [220, 224, 225, 229, 230, 239, 242, 243],
  beige: [31, 33, 63, 73, 79, 89, 90, 93],
  blush: [4, 7, 8, 28, 31, 249, 252],
  brick: [36, 37, 38, 39, 43],
  burgundy: [13, 14, 16, 17, 21, 256, 257, 259, 260],
  caramel: [54, 55, 57, 74, 76, 77],
  charcoal: [65, 113, 114, 156, 157, 192, 193, 234, 235, 266],
  chestnut: [40, 41, 43, 44, 55, 56, 58],
  chocolate: [44, 47, 56, 58, 59, 62, 78],
  cobalt: [176, 178, 179, 194, 196],
  coffee: [56, 58, 59, 61, 62, 78, 81],
  coral: [25, 26, 27, 35, 37],
  cream: [73, 86, 89, 92, 104],
  crimson: [11, 12, 13, 254, 255, 256],
  cyan: [158, 159, 167, 168, 171, 172],
  denim: [182, 186, 187, 200, 204],
  emerald: [129, 131, 139, 141, 145, 160],
  forest: [125, 126, 132, 137, 138, 141, 142, 146, 147],
  fuchsia: [236, 237, 247, 248, 254, 255],
  gold: [68, 69, 71, 72, 84, 85, 87],
  indigo: [196, 197, 200, 201, 208, 212],
  ivory: [89, 92, 104],
  jade: [135, 136, 140, 141, 144, 145, 163, 164],
  khaki: [79, 88, 90, 91, 103, 105, 106, 109],
  lavender: [198, 199, 202, 203, 209, 210, 213, 214, 221, 226, 227],
  lemon: [82, 83, 86, 97, 98, 101],
  lilac: [209, 210, 213, 214, 217, 221, 222, 226, 227, 240, 244],
  lime: [97, 98, 99, 115, 116, 117],
  magenta: [216, 236, 237, 247, 248, 254, 255],
  maroon: [13, 14, 16, 17, 21, 41, 44, 256, 257, 259, 260],
  mauve: [222, 223, 227, 228, 240, 241, 244, 245, 250, 253],
  mint: [130, 134, 135, 140, 143, 144, 148, 159, 162],
  mustard: [69, 72, 84, 85, 88, 94, 100],
  navy: [179, 183, 188, 197, 201],
  ochre: [54, 69, 71, 72, 74, 76, 85, 88],
  peach: [26, 28, 29, 31, 52, 73],
  petrol: [165, 166, 169, 170, 173, 174, 175],
  plum: [219, 224, 225, 229, 238, 242, 243],
  rose: [2, 3, 5, 6, 247, 248, 250, 251, 255, 258],
  rust: [36, 38, 39, 40, 43, 51, 54, 55],
  sage: [112, 120, 121, 122, 149, 150],
  salmon: [25, 26, 27, 28, 29, 30],
  scarlet: [11, 12, 34, 35, 36],
  silver: [10, 93, 154, 190, 232, 264],
  sky: [171, 172, 177, 180, 181, 184, 185, 198, 199],
  tan: [57, 60, 71, 72, 76, 77, 79],
  taupe: [45, 60, 61, 63, 64, 79, 80],
  teal: [160, 161, 164, 165, 169, 170, 173, 174],
  terracotta: [37, 38, 39, 42, 43, 53, 54],
  turquoise: [158, 159, 160, 162, 163, 164, 167, 168, 169, 171, 172],
  wine: [13, 14, 16, 17, 256, 257, 259, 260],
};

/** Fewer letters begin too many words to mean an everyday colour. */
const FEWEST_LETTERS = 3;

const WORDS: ReadonlyMap<string, readonly number[]> = wordsOfColours();

/**
 * Colours a word means, or the beginning of one: words of the ISCC-NBS names, and everyday words.
 * Shape:   a folded word -> a flag for each place of `ISCC_NBS`; undefined where it means no colour
 * Holds:   British spelling and a plural mean the same: grey, greens
 * Source:  [Kelly1958] for the names; everyday words are common practice, no source
 */
export function coloursOfWord(word: string): Uint8Array | undefined {
  let flags: Uint8Array | undefined;
  for (const [known, places] of WORDS) {
    const whole = `${known}s` === word;
    if (!whole && !known.startsWith(word)) continue;
    if (known in EVERYDAY && word.length < FEWEST_LETTERS) continue;
    flags ??= new Uint8Array(ISCC_NBS.length);
    for (const place of places) flags[place] = 1;
  }
  return flags;
}

function wordsOfColours(): Map<string, readonly number[]> {
  const words = new Map<string, number[]>();
  for (const [place, [, name]] of ISCC_NBS.entries()) {
    for (const word of name.split(' ')) {
      for (const spelled of new Set([word, word.replace('gray', 'grey')])) {
        words.set(spelled, [...(words.get(spelled) ?? []), place]);
      }
    }
  }
  for (const [word, numbers] of Object.entries(EVERYDAY)) {
    words.set(
      word,
      numbers.map((number) => number - 1),
    );
  }
  return words;
}
