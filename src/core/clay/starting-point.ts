import { EFFECT_WIDTH } from './effect-offset.ts';
import type { Belief } from './families.ts';
import type { Fit } from './fit-result.ts';
import type { FitSettings } from './fit-settings.ts';
import type { PreparedSet } from './prepare.ts';
import { ABSORPTION_LATENTS, type Prior, STRENGTH_LATENT } from './prior.ts';

/**
 * How much the scattering of one white differs from another's in shape over wavelength, in units of
 * the prior's own shapes, which are those of colours: the scattering of whites differs in strength
 * and hardly in shape. Judgement, no source; two titanium whites of data/pigments are both 1 by
 * definition.
 */
const WHITE_SHAPE = 0.25;

/**
 * How freely the strength may vary of a reference that sets the unit of scattering but is not
 * white.
 */
const UNIT_SPREAD = 0.01;

/** Belief about every unknown before any family is known, by block. */
export function freeBeliefs(set: PreparedSet, prior: Prior, settings: FitSettings): Belief[] {
  const precision = set.blockSizes.map((size) => new Float64Array(size).fill(1));
  set.clays.forEach((_, i) => {
    if (set.classes[i] === 'white') {
      precision[i].fill(1 / WHITE_SHAPE ** 2, ABSORPTION_LATENTS, STRENGTH_LATENT);
    }
    const g = set.group[i];
    // A group's reference carries the group's scale; that of the first group is the unit itself.
    if (set.reference[g] === i) {
      const spread = g > 0 ? settings.groupSpread : UNIT_SPREAD;
      precision[i][STRENGTH_LATENT] = (prior.means[set.classes[i]].strengthSpread / spread) ** 2;
    }
  });
  precision[set.sharedBlock][0] = 1 / settings.dilutionSpread ** 2;
  precision[set.sharedBlock][1] = 1 / settings.lnScatteringPerMm.spread ** 2;
  precision[set.sharedBlock][2] = 1 / settings.shareSpread ** 2;
  precision[set.sharedBlock][3] = 1 / settings.glossSpread ** 2;
  for (const { block, spread } of set.photoBlocks) {
    precision[block].fill(1 / (spread ?? settings.photoSpread) ** 2);
  }
  for (const own of set.effects) {
    if (own !== undefined) precision[own.block].fill(1 / EFFECT_WIDTH[own.effect].departure ** 2);
  }
  for (const { block } of set.combinations.values()) {
    precision[block].fill(1 / settings.combinationSpread ** 2);
  }
  return precision.map((p) => ({ mean: new Float64Array(p.length), precision: p }));
}

/** Where a fit begins: unknowns and beliefs by block. */
export interface StartingPoint {
  readonly unknowns: Float64Array[];
  readonly beliefs: Belief[];
  /**
   * Whether every clay was known before, so that the fit can skip the steps from a distant start.
   */
  readonly complete: boolean;
}

/** Starts at an earlier fit for each clay, photo of tiles or combination that it knows by name. */
export function warmStart(set: PreparedSet, free: readonly Belief[], before: Fit): StartingPoint {
  const unknowns = set.blockSizes.map((size) => new Float64Array(size));
  const beliefs = [...free];
  const copy = (to: number, from: number) => {
    if (before.unknowns[from].length !== unknowns[to].length) return;
    unknowns[to] = Float64Array.from(before.unknowns[from]);
  };
  const indexBefore = new Map(before.set.clays.map((name, i) => [name, i]));
  let complete = true;
  set.clays.forEach((name, i) => {
    const from = indexBefore.get(name);
    // A clay that now counts as another type has another mean, so its old numbers mean something
    // else.
    if (from === undefined || before.set.classes[from] !== set.classes[i]) {
      complete = false;
      return;
    }
    copy(i, from);
    beliefs[i] = before.beliefs[from];
  });
  set.effects.forEach((own, i) => {
    const from = indexBefore.get(set.clays[i]);
    const known = from === undefined ? undefined : before.set.effects[from];
    if (own !== undefined && known !== undefined) copy(own.block, known.block);
  });
  copy(set.sharedBlock, before.set.sharedBlock);
  const nameOf = (of: PreparedSet, main: number, others: readonly number[]) =>
    [main, ...others].map((p) => of.clays[p]).join('\n');
  const blockBefore = new Map(
    [...before.set.combinations.values()].map((c) => [
      nameOf(before.set, c.main, c.others),
      c.block,
    ]),
  );
  for (const { block, main, others } of set.combinations.values()) {
    const from = blockBefore.get(nameOf(set, main, others));
    if (from !== undefined) copy(block, from);
  }
  return { unknowns, beliefs, complete };
}
