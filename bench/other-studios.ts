/**
 * Virtual studios of paints left out of the prior, mixed by other laws than the model's own, for
 * `other-truths.ts` and `wrong-tiles.ts`.
 *
 * Each studio: white, black and eight other paints of one collection. Neither these paints nor the same
 * pigments of the other collection are in the prior. Tiles: every clay alone, and each colour and black
 * 1:3 and 1:9 with white; readings carry 0.5 units of noise an axis, parts are cut 3 % off. With `more`,
 * 30 tiles of random mixes of two or three clays.
 */

import type { Prior } from '../src/core/clay/prior.ts';
import type { Pigment } from '../src/core/clay/prior-from-pigments.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { reflectanceFromRatio } from '../src/core/optics/kubelka-munk.ts';
import { measuredFromInternal } from '../src/core/optics/surface.ts';
import type { Parts } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { type Random, randomFrom } from './random.ts';
import { unlikePair, wrongRows } from './wrong-rows.ts';

export const weights = colourWeights('D50', 2);
const NOISE = 0.5;
const HAND = 0.03;

export interface Truth {
  readonly name: string;
  /** Amounts count by share to this power. */
  readonly power?: number;
  /** Scattering lost to what absorbs: S - crowding K, at least a tenth of S. */
  readonly crowding?: number;
  readonly surface?: { readonly outer: number; readonly inner: number };
  /** Pairs of tiles whose readings were exchanged. */
  readonly swaps?: number;
  /** Share of rows with a mistake, of all kinds by turns. */
  readonly wrong?: number;
  /** Colours that have nothing to do with the recipes. */
  readonly random?: boolean;
  readonly more?: boolean;
}

export interface Studio {
  readonly prior: Prior;
  readonly plan: readonly Parts[];
  readonly readings: TileReading[];
  /** Continues after what the readings drew. */
  readonly random: Random;
  readonly clays: readonly Pigment[];
}

export function trueLab(parts: Parts, truth: Truth): Lab {
  const total = parts.reduce((sum, [, n]) => sum + n, 0);
  const surface = { outer: 0.04, inner: 0.6, ...truth.surface, glossShare: 1 };
  const amounts = parts.map(([, n]) => (n / total) ** (truth.power ?? 1));
  const spectrum = Float64Array.from({ length: BANDS }, (_, band) => {
    let k = 0;
    let s = 0;
    parts.forEach(([paint], i) => {
      k += amounts[i] * paint.absorption[band];
      s += amounts[i] * paint.scattering[band];
    });
    const left = Math.max(0.1 * s, s - (truth.crowding ?? 0) * k);
    return measuredFromInternal(reflectanceFromRatio(k / left), surface);
  });
  return labFromSpectrum(spectrum, weights);
}

export function studioOf(studio: number, truth: Truth): Studio {
  const random = randomFrom(7000 + studio);
  const { white, black, others, prior } = paintStudio(studio, 8, random);
  const plan: Parts[] = [[[white, 1]], ...[...others, black].map((p): Parts => [[p, 1]])];
  for (const p of [...others, black])
    for (const n of [3, 9])
      plan.push([
        [p, 1],
        [white, n],
      ]);
  if (truth.more) for (let i = 0; i < 30; i++) plan.push(anyMix(random, [white, black, ...others]));
  const labs = plan.map((parts) => {
    if (truth.random)
      return [30 + 60 * random.uniform(), 80 * random.uniform() - 40, 80 * random.uniform() - 40];
    const hand: Parts = parts.map(([p, n]) =>
      parts.length > 1 ? ([p, n * Math.exp(HAND * random.normal())] as const) : ([p, n] as const),
    );
    return trueLab(hand, truth).map((v) => v + NOISE * random.normal());
  });
  for (let i = 0; i < (truth.swaps ?? 0); i++) {
    const [x, y] = unlikePair(labs, random);
    [labs[x], labs[y]] = [labs[y], labs[x]];
  }
  const readings = plan.map((parts, i): TileReading => {
    const total = parts.reduce((sum, [, n]) => sum + n, 0);
    return {
      tile: `t${i}`,
      parts: parts.map(([p, n]) => ({ clay: p.name, share: n / total })),
      colour: { kind: 'lab', lab: labs[i] as unknown as Lab, light: 'D50', observer: 2 },
      spread: NOISE,
      geometry: 'included',
      partsSpread: parts.length > 1 ? HAND : 0,
    };
  });
  const wrong = Math.round((truth.wrong ?? 0) * readings.length);
  const made = truth.wrong === undefined ? readings : wrongRows(readings, wrong, random);
  return { prior, plan, readings: made, random, clays: [white, black, ...others] };
}

/** Two or three clays, one to six parts each. */
export function anyMix(random: Random, clays: readonly Pigment[]): Parts {
  const left = [...clays];
  return Array.from(
    { length: random.whole(2, 3) },
    () => [left.splice(random.whole(0, left.length - 1), 1)[0], random.whole(1, 6)] as const,
  );
}
