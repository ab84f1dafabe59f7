import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { Fit, FittedTile } from './fit-result.ts';
import { labOfObserved } from './left-out.ts';
import { sideBetween } from './side-between.ts';

/** The plain tile of a clay beside what the model makes of that clay. */
export interface PlainTile {
  /** CIEDE2000 between the mean of its readings and the prediction. */
  readonly dE00: number;
  /** Whether the two differ by no more than the readings may be off. */
  readonly within: boolean;
  /** Why they differ, in a sentence; only where they do. */
  readonly why?: string;
}

/** Value that a chi-squared variable of three degrees exceeds five times in a hundred. */
const USUAL = 7.815;
/** A difference that half of observers cannot see needs no reason, [Paravina2015]. */
const VISIBLE = 0.8;
/** A tile that counts for less than this was set aside by the fit. */
const SET_ASIDE = 0.5;

/**
 * How the plain tiles of a clay are predicted, and the reason where that is further off than their readings
 * may be.
 * Shape:   a fit, a clay by index -> undefined where it has no plain tile
 * Units:   dE00; the reading's own spread and the error it shares with its photo are allowed for
 */
export function plainTile(fit: Fit, clay: number): PlainTile | undefined {
  const own = fit.tiles.filter(
    ({ tile }) => tile.parts.length === 1 && tile.parts[0].clay === clay,
  );
  if (own.length === 0) return undefined;
  const read = meanOf(own.map((fitted) => labOfObserved(fitted, fitted.tile.observed)));
  const predicted = meanOf(own.map((fitted) => labOfObserved(fitted, predictedOf(fit, fitted))));
  const dE00 = deltaE2000(predicted, read);
  const variance = allowedVariance(fit, own);
  const squares = read.reduce((sum, v, i) => sum + (v - predicted[i]) ** 2, 0);
  if (dE00 <= VISIBLE || squares <= USUAL * variance) return { dE00, within: true };
  const why = reason(fit, clay, own, sideBetween(predicted, read));
  return { dE00, within: false, why };
}

/** The values that the model gives for a reading, without the error of its photo. */
function predictedOf({ unknowns }: Fit, { tile, slopes }: FittedTile): Float64Array {
  return slopes.predicted.map(
    (v, r) => v + tile.effects.reduce((sum, e) => sum + e.share * unknowns[e.block][r], 0),
  );
}

/** Variance an axis of the mean of some readings: their own spreads, and the errors that they share. */
function allowedVariance({ set, settings }: Fit, own: readonly FittedTile[]): number {
  const n = own.length;
  const alone = own.reduce((sum, { tile }) => sum + tile.spread ** 2, 0) / n ** 2;
  const blocks = new Map<number, number>();
  for (const { tile } of own) {
    if (tile.photoBlock < 0) continue;
    blocks.set(tile.photoBlock, (blocks.get(tile.photoBlock) ?? 0) + 1);
  }
  let shared = 0;
  for (const [block, count] of blocks) {
    const photo = set.photoBlocks.find((one) => one.block === block);
    shared += ((count / n) * (photo?.spread ?? settings.photoSpread)) ** 2;
  }
  return alone + shared;
}

function reason(fit: Fit, clay: number, own: readonly FittedTile[], reads: string): string {
  const { set } = fit;
  const name = set.clays[clay];
  const labs = own.map((fitted) => labOfObserved(fitted, fitted.tile.observed));
  const widest = Math.max(...labs.map((lab) => Math.hypot(...sub(lab, meanOf(labs)))));
  const spread = Math.max(...own.map(({ tile }) => tile.spread));
  if (own.length > 1 && widest ** 2 > USUAL * spread ** 2) {
    return `The ${own.length} plain tiles of ${name} differ from each other. Read them again.`;
  }
  const mixes = fit.tiles.filter(
    ({ tile }) => tile.parts.length > 1 && tile.parts.some((part) => part.clay === clay),
  );
  if (mixes.length === 0) {
    return `The plain tile of ${name} reads ${reads} than any clay that is known. Read it again.`;
  }
  const many = mixes.length === 1 ? 'its mix asks' : `its ${mixes.length} mixes ask`;
  return own.every(({ weight }) => weight < SET_ASIDE)
    ? `The plain tile of ${name} was set aside: it reads ${reads} than ${many} for. Check that it is ${name} alone.`
    : `The plain tile of ${name} reads ${reads} than ${many} for, so the model meets them halfway. Check the tile and these mixes.`;
}

function sub(one: Lab, other: Lab): number[] {
  return one.map((v, i) => v - other[i]);
}

function meanOf(labs: readonly Lab[]): Lab {
  const mean = (axis: 0 | 1 | 2) => labs.reduce((sum, lab) => sum + lab[axis], 0) / labs.length;
  return [mean(0), mean(1), mean(2)];
}
