import { type ClayModel, combinationOf } from '../clay/clay-model.ts';
import { newMixSpreadOf } from '../clay/new-mix-spread.ts';
import { BANDS } from '../colour/grid.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import type { Chance } from '../numeric/seeded-chance.ts';
import type { Gloss } from '../optics/surface.ts';
import { mixEvaluator } from '../search/mix-evaluator.ts';
import { type ClayUnknowns, type DrawnClays, worldOf } from './draws.ts';

/** A test ball as it was rolled: its recipe, and its own unknowns. */
export interface RolledBall {
  readonly recipe: WholeParts;
  /**
   * Place in a draw of the departure of each part in this combination; unused where the model
   * learned it.
   */
  readonly departureAt: number;
  /** Place in a draw of the error of the hand, part by part. */
  readonly handAt: number;
}

/** Standard deviation of ln amount of a part in a combination never baked, as a draw has it. */
export function departureSpread(model: ClayModel, clay: number) {
  return model.missFactor * newMixSpreadOf(model, clay);
}

/**
 * What the model learned of the departure of each part of a recipe in its combination, ln amount.
 * Returns: undefined where no tile of the combination was read
 */
export function learnedDepartures(unknowns: ClayUnknowns, clays: readonly number[]) {
  const { predictor, blockAt, worlds } = unknowns;
  const combination = combinationOf(predictor.model, clays);
  if (combination === undefined) return undefined;
  const { main, others, block } = combination;
  const middles = worlds.map(({ model }) => {
    const own = combinationOf(model, clays);
    const of = (clay: number) => own?.departures[own.others.indexOf(clay)] ?? 0;
    return others.map((clay) => of(clay) - of(main));
  });
  return (clay: number, draw: Float64Array): number => {
    const at = others.indexOf(clay);
    return at < 0 ? 0 : middles[worldOf(unknowns, draw)][at] + draw[blockAt[block] + at];
  };
}

/**
 * Colour of an opaque mix under drawn clays, written to out[0..2].
 * Shape: clays by index and the amount of each, on any common scale; `intended`, the same before
 *        errors of the hand, for what special clays add
 */
export function drawnColours(
  { predictor, weights, blockAt, learnsClays }: ClayUnknowns,
  geometry: Gloss,
) {
  const { model } = predictor;
  const evaluator = mixEvaluator(weights, geometry);
  const whiteAbsorption = new Float64Array(BANDS);
  const colourAbsorption = new Float64Array(BANDS);
  const scattering = new Float64Array(BANDS);
  return (
    out: Float64Array,
    drawn: DrawnClays,
    draw: Float64Array,
    clays: readonly number[],
    amounts: readonly number[],
    intended: readonly number[],
  ): void => {
    whiteAbsorption.fill(0);
    colourAbsorption.fill(0);
    scattering.fill(0);
    let total = 0;
    let planned = 0;
    for (let i = 0; i < clays.length; i++) {
      total += amounts[i];
      planned += intended[i];
    }
    let all = 0;
    let coloured = 0;
    for (let i = 0; i < clays.length; i++) {
      const amount = (amounts[i] / total) ** drawn.power(clays[i]);
      const curves = drawn.curves(clays[i]);
      const target = curves.white ? whiteAbsorption : colourAbsorption;
      for (let band = 0; band < BANDS; band++) {
        target[band] += amount * curves.absorption[band];
        scattering[band] += amount * curves.scattering[band];
      }
      all += amount;
      if (!curves.white) coloured += amount;
    }
    const factor = coloured > 0 ? (coloured / all) ** drawn.dilution : 1;
    evaluator.labInto(out, whiteAbsorption, colourAbsorption, scattering, factor);
    for (let i = 0; i < clays.length; i++) {
      // The addition of a special clay to the body colour, in proportion to its intended share.
      const own = model.clays[clays[i]].effect;
      if (own === undefined) continue;
      const share = intended[i] / planned;
      for (let k = 0; k < 3; k++) {
        out[k] += share * (own.departure[k] + (learnsClays ? draw[blockAt[own.block] + k] : 0));
      }
    }
  };
}

/**
 * Colours of mixes under drawn clays, written to out[0..2]; opaque, like test balls. `ball`: the
 * mix as rolled, with its own departures from the draw. Without it, both are drawn by `chance`;
 * with neither, the mix is the plain sum of its clays.
 */
export function drawnMixColours(unknowns: ClayUnknowns, geometry: Gloss, partsSpread: number) {
  const { predictor, learnsClays } = unknowns;
  const { model } = predictor;
  const colourInto = drawnColours(unknowns, geometry);
  const amounts: number[] = [];
  const known = new Map<WholeParts, RecipeInDraws>();
  return (
    out: Float64Array,
    drawn: DrawnClays,
    draw: Float64Array,
    recipe: WholeParts,
    ball: RolledBall | undefined,
    chance: Chance | undefined,
  ): void => {
    let seen = known.get(recipe);
    if (seen === undefined) {
      const clays = recipe.map(({ clay }) => clay);
      const learned = recipe.length > 1 ? learnedDepartures(unknowns, clays) : undefined;
      seen = { clays, parts: recipe.map(({ parts }) => parts), learned };
      known.set(recipe, seen);
    }
    const { clays, parts, learned } = seen;
    for (let i = 0; i < clays.length; i++) {
      let ln = 0;
      if (clays.length > 1) {
        if (learned !== undefined) ln += learned(clays[i], draw);
        else if (i > 0 && learnsClays) {
          // The first clay of a recipe has most parts and no departure, as in the fit.
          const spread = departureSpread(model, clays[i]);
          if (ball !== undefined) ln += spread * draw[ball.departureAt + i];
          else if (chance !== undefined) ln += spread * chance.normal();
        }
        if (ball !== undefined) ln += partsSpread * draw[ball.handAt + i];
        else if (chance !== undefined) ln += partsSpread * chance.normal();
      }
      amounts[i] = parts[i] * Math.exp(ln);
    }
    colourInto(out, drawn, draw, clays, amounts, parts);
  };
}

interface RecipeInDraws {
  readonly clays: readonly number[];
  readonly parts: readonly number[];
  readonly learned: ReturnType<typeof learnedDepartures>;
}
