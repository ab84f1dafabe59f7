import { drawnMixColours } from '../belief/drawn-colours.ts';
import { clayDrawer, drawUnknowns, unknownsOf } from '../belief/draws.ts';
import { PARTS_SPREAD } from '../clay/parts-spread.ts';
import type { Predictor } from '../clay/predict.ts';
import { deltaE2000At } from '../colour/difference.ts';
import { colourWeights } from '../colour/weights.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { seededChance } from '../numeric/seeded-chance.ts';

/** Draws of the clays: a chance is then known within 0.03. */
const DRAWS = 300;
const SEED = 23;

/**
 * Chance that a recipe comes within a tolerance of a block, both as uncertain as the clay model has them: the
 * block's own tile counts for the recipe too where the two share clays or the white of the line.
 * Shape: a block by its index in the model, whole parts by index -> 0-1
 */
export function chancesOfPiles(predictor: Predictor, tolerance: number) {
  const weights = colourWeights('D50', 2);
  const unknowns = unknownsOf(predictor, weights, new Float64Array(9), true);
  const chance = seededChance(SEED);
  const draws = Array.from({ length: DRAWS }, () =>
    drawUnknowns(unknowns, unknowns.modelSize, chance),
  );
  const drawn = draws.map(clayDrawer(unknowns));
  const colourInto = drawnMixColours(unknowns, predictor.model.geometry, PARTS_SPREAD.ofMix);
  const block = new Float64Array(3);
  const mix = new Float64Array(3);
  return (clay: number, recipe: WholeParts): number => {
    // The same errors of the hand for every recipe, so that two are compared fairly.
    const hand = seededChance(SEED);
    const alone = [{ clay, parts: 1 }];
    let within = 0;
    draws.forEach((draw, n) => {
      colourInto(block, drawn[n], draw, alone, undefined, undefined);
      colourInto(mix, drawn[n], draw, recipe, undefined, hand);
      const [l, a, b] = block;
      if (deltaE2000At(l, a, b, mix[0], mix[1], mix[2]) <= tolerance) within++;
    });
    return within / DRAWS;
  };
}
