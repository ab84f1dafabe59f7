import type { SeenPatch } from './camera-equations.ts';
import { srgbDecoded } from './encoding.ts';
import type { Picture } from './picture.ts';

/** With fewer steps, rounding alone moves a dark colour by more than an eye can see. */
const FEW = 7;
const LEAST_PATCHES = 2;
/** Strong colours too have channels close to 0; dark ones have no channel above this code. */
const DARK = 110;
const NAMES = ['red', 'green', 'blue'] as const;

/**
 * What is said where a photo of 8 bits has few steps in the dark patches of one channel, as under a warm
 * lamp; undefined where all have enough.
 * Shape:   picture, its patches, whether its codes are linear -> a note with something to do
 */
export function fewCodesNote(
  { codes }: Picture,
  patches: readonly Pick<SeenPatch, 'code'>[],
  isLinear = false,
): string | undefined {
  if (!(codes instanceof Uint8Array)) return undefined;
  const inFile = isLinear ? srgbDecoded : (code: number) => code;
  const dark = patches.filter(({ code }) => 255 * Math.max(...code) < DARK);
  const counts = NAMES.map((name, c) => ({
    name,
    few: dark.filter(({ code }) => 255 * inFile(code[c]) < FEW).length,
  }));
  const worst = counts.reduce((a, b) => (b.few > a.few ? b : a));
  if (worst.few < LEAST_PATCHES) return undefined;
  return `${worst.few} dark patches of the chart have hardly any ${worst.name} in this photo, so dark colours are rough. Use more light, cooler light, or save the photo with 16 bits.`;
}
