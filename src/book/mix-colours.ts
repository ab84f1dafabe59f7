import type { Predictor } from '../core/clay/predict.ts';
import { mixInUnknowns } from '../core/clay/predict.ts';
import { roughPredictor } from '../core/clay/rough-model.ts';
import type { TileReading } from '../core/clay/tile-reading.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { openClay } from '../verbs/open-clay.ts';

/** Clays to predict with: of a clay model, or known from the colours of the blocks alone. */
export type ColourSource<Model> =
  | { readonly model: Model }
  | { readonly rough: readonly TileReading[] };

/** A mix by the names of its clays; portions sum to 1. */
export type ColourMix = readonly { readonly clay: string; readonly share: number }[];

/** L, a, b and the place of the colour's name in `ISCC_NBS`; null where a clay is not known. */
export type NamedColourRow = readonly [l: number, a: number, b: number, name: number] | null;

/** Colours alone of many mixes, under D50 and 2 degrees. Refuses: as `openClay` does */
export function mixColours(
  source: ColourSource<{ readonly title: string; readonly bytes: Uint8Array }>,
  mixes: readonly ColourMix[],
): readonly NamedColourRow[] {
  const predictor =
    'rough' in source
      ? roughPredictor(source.rough)
      : openClay(source.model.bytes, source.model.title).predictor;
  const clays = new Map(predictor.model.clays.map(({ name }, clay) => [clayKey(name), clay]));
  return mixes.map((mix) => colourOf(predictor, clays, mix));
}

function colourOf(
  predictor: Predictor,
  clays: ReadonlyMap<string, number>,
  mix: ColourMix,
): NamedColourRow {
  const parts = mix.flatMap(({ clay, share }) => {
    const known = clays.get(clayKey(clay));
    return known === undefined ? [] : [{ clay: known, share }];
  });
  if (parts.length === 0 || parts.length < mix.length) return null;
  // The spread of the parts moves no colour.
  const options = { weights: colourWeights('D50', 2), partsSpread: 0 };
  const { lab } = mixInUnknowns(predictor, parts, options);
  return [...lab, colourName(lab).number - 1];
}
