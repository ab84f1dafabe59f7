import { type HueRange, volumeByHue } from '../colour/colour-range.ts';
import { HUED_CHROMA } from '../colour/hue-gaps.ts';
import { HUE_WORDS, type HueWord, hueWord } from '../colour/hue-words.ts';
import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';

/** One hue of a line. */
export interface HueOfLine {
  readonly hue: HueWord;
  /** Blocks of this hue; greys have none. */
  readonly clays: number;
  /** C*ab of those blocks; absent where there is none. */
  readonly meanChroma?: number;
  /** The strongest mix; absent where no mix has this hue. */
  readonly strongest?: { readonly lab: Lab; readonly chroma: number };
  /** Size of the range in this hue, cubes of CIELAB units. */
  readonly volume: number;
}

/**
 * A line hue by hue.
 * Shape:   colours of its blocks, colours of its mixes, the range of those -> a row for each tenth of the circle
 * Units:   D50 and 2 degrees
 */
export function huesOfLine(
  blocks: readonly Lab[],
  mixes: readonly Lab[],
  range: HueRange,
): readonly HueOfLine[] {
  const chromas = new Map<HueWord, number[]>();
  for (const lab of blocks) {
    const [, chroma, hue] = lchFromLab(lab);
    if (chroma < HUED_CHROMA) continue;
    const word = hueWord(hue);
    chromas.set(word, [...(chromas.get(word) ?? []), chroma]);
  }
  const strongest = new Map<HueWord, { lab: Lab; chroma: number }>();
  for (const lab of mixes) {
    const [, chroma, hue] = lchFromLab(lab);
    const word = hueWord(hue);
    if (chroma > (strongest.get(word)?.chroma ?? 0)) strongest.set(word, { lab, chroma });
  }
  const volumes = volumeByHue(range);
  return HUE_WORDS.map((hue) => {
    const own = chromas.get(hue) ?? [];
    const most = strongest.get(hue);
    return {
      hue,
      clays: own.length,
      ...(own.length === 0
        ? {}
        : { meanChroma: own.reduce((sum, chroma) => sum + chroma, 0) / own.length }),
      ...(most === undefined ? {} : { strongest: most }),
      volume: volumes.get(hue)!,
    };
  });
}

/** Mean C*ab of all blocks, greys too; 0 of none. */
export function meanChroma(blocks: readonly Lab[]): number {
  const sum = blocks.reduce((all, lab) => all + lchFromLab(lab)[1], 0);
  return blocks.length === 0 ? 0 : sum / blocks.length;
}
