/**
 * How well are unseen mixes predicted from a few tiles when real paints are left out of the prior?
 *
 * For every coloured paint of data/pigments the prior is built without it, without the two other
 * paints of its studio, and without paints of the same name in the other collection. The studio
 * (that paint, two others, white, black) is baked virtually: plain two-constant mixing, reading
 * with 0.5 units of seeded noise per axis. Then mixes of two and three clays that were never baked
 * are predicted and compared with the noiseless truth.
 *
 * Run:     npx tsx bench/left-out-paints.ts [--seeds 3] [--only] (--only: the others stay in the
 *          prior)
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import {
  classOfPigment,
  type Pigment,
  priorFromPigments,
} from '../src/core/clay/prior-from-pigments.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import { readPigments } from '../tools/pigments.ts';
import { mean, quantile, type Random, randomFrom } from './random.ts';

export type Parts = readonly (readonly [pigment: Pigment, parts: number])[];

const NOISE = 0.5;
const weights = colourWeights('D50', 2);
const SIMPLE = { dilution: 0, shareExponent: 0, scatteringPerMm: 20 };

/** The reading of a mix by an instrument without noise, under plain two-constant theory. */
export function trueLab(parts: Parts): Lab {
  const total = parts.reduce((sum, [, n]) => sum + n, 0);
  const { reflectance } = mixSlopes(
    parts.map(([, n], clay) => ({ clay, share: n / total })),
    parts.map(([pigment]) => pigment),
    parts.map(() => 'opaque'),
    SIMPLE,
    claySurface('included'),
  );
  return labFromSpectrum(reflectance, weights);
}

export function virtualTile(parts: Parts, random: Random): TileReading {
  const total = parts.reduce((sum, [, n]) => sum + n, 0);
  const [l, a, b] = trueLab(parts);
  const noisy = (v: number) => v + NOISE * random.normal();
  return {
    tile: parts.map(([p, n]) => `${n} ${p.name}`).join(' + '),
    parts: parts.map(([p, n]) => ({ clay: p.name, share: n / total })),
    colour: { kind: 'lab', lab: [noisy(l), noisy(a), noisy(b)], light: 'D50', observer: 2 },
    spread: NOISE,
    geometry: 'included',
    partsSpread: 0,
  };
}

/** Tiles of one paint, by plan. */
const PLANS: Record<string, (p: Pigment, white: Pigment, black: Pigment) => Parts[]> = {
  'masstone alone': (p) => [[[p, 1]]],
  'masstone, two tints': (p, w) => [
    [[p, 1]],
    [
      [p, 1],
      [w, 3],
    ],
    [
      [p, 1],
      [w, 15],
    ],
  ],
  'masstone, three tints': (p, w) => [
    [[p, 1]],
    [
      [p, 1],
      [w, 1],
    ],
    [
      [p, 1],
      [w, 4],
    ],
    [
      [p, 1],
      [w, 15],
    ],
  ],
  'masstone, two tints, one darkened': (p, w, k) => [
    [[p, 1]],
    [
      [p, 1],
      [w, 3],
    ],
    [
      [p, 1],
      [w, 15],
    ],
    [
      [p, 16],
      [k, 1],
    ],
  ],
};

interface Row {
  readonly paint: string;
  readonly error: number;
  readonly expected: number;
}

/** Twins in the other collection have the same name up to the first bracket or the word shade. */
export function family(name: string): string {
  return name
    .toLowerCase()
    .replace(/\(|\)|shade|chromium|bone|carbon/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}

function run(plan: string, seed: number, onlyOne: boolean): Row[] {
  const all = readPigments();
  const rows: Row[] = [];
  const random = randomFrom(seed);
  for (const file of [...new Set(all.map((p) => p.file))]) {
    const set = all.filter((p) => p.file === file);
    const white = set.find((p) => p.name === 'Titanium White')!;
    const black = set.find((p) => classOfPigment(p) === 'black' && /black/i.test(p.name))!;
    const coloured = set.filter((p) => p !== white && p !== black);
    for (const paint of coloured) {
      const others = coloured.filter((p) => p !== paint);
      const second = others[random.whole(0, others.length - 1)];
      const rest = others.filter((p) => p !== second);
      const studio = [paint, second, rest[random.whole(0, rest.length - 1)]];
      const out = new Set((onlyOne ? [paint] : studio).map((p) => family(p.name)));
      const prior = priorFromPigments(all.filter((p) => !out.has(family(p.name))));
      const tiles: Parts[] = [
        [[white, 1]],
        [[black, 1]],
        [
          [black, 1],
          [white, 15],
        ],
        [
          [black, 1],
          [white, 63],
        ],
      ];
      for (const p of studio) tiles.push(...PLANS[plan](p, white, black));
      const fit = fitClays(
        tiles.map((t) => virtualTile(t, random)),
        prior,
      );
      const predictor = openModel(modelFromFit(fit));
      const mixes: Parts[] = [];
      const n = () => random.whole(1, 8);
      for (let i = 0; i < 6; i++) {
        const other = studio[1 + (i % 2)];
        mixes.push(
          [
            [paint, n()],
            [white, n()],
          ],
          [
            [paint, n()],
            [other, n()],
          ],
          [
            [paint, n()],
            [other, n()],
            [white, n()],
          ],
          [
            [paint, n()],
            [white, n()],
            [black, 1],
          ],
        );
      }
      for (const mix of mixes) {
        const total = mix.reduce((sum, [, k]) => sum + k, 0);
        const parts = mix.map(([p, k]) => ({
          clay: fit.set.clays.indexOf(p.name),
          share: k / total,
        }));
        const { lab, covariance } = predictMix(predictor, parts, {
          weights,
          geometry: 'included',
          partsSpread: 0,
        });
        rows.push({
          paint: paint.name,
          error: deltaE2000(lab, trueLab(mix)),
          expected: Math.sqrt(covariance[0] + covariance[4] + covariance[8]),
        });
      }
    }
  }
  return rows;
}

function main(): void {
  const { values } = parseArgs({
    options: {
      seeds: { type: 'string', default: '3' },
      plan: { type: 'string' },
      only: { type: 'boolean', default: false },
    },
  });
  console.log('plan                                 mixes   mean  median    90 %  worst');
  for (const plan of Object.keys(PLANS)) {
    if (values.plan !== undefined && values.plan !== plan) continue;
    const rows: Row[] = [];
    for (let seed = 1; seed <= Number(values.seeds); seed++)
      rows.push(...run(plan, seed, values.only));
    const errors = rows.map((r) => r.error);
    const f = (v: number) => v.toFixed(2).padStart(6);
    console.log(
      `${plan.padEnd(35)} ${String(rows.length).padStart(6)} ${f(mean(errors))}  ${f(quantile(errors, 0.5))}  ${f(quantile(errors, 0.9))} ${f(Math.max(...errors))}`,
    );
    const paints = [...new Set(rows.map((r) => r.paint))]
      .map((p) => ({ p, e: mean(rows.filter((r) => r.paint === p).map((r) => r.error)) }))
      .sort((a, b) => b.e - a.e);
    console.log(
      `  hardest: ${paints
        .slice(0, 5)
        .map(({ p, e }) => `${p} ${e.toFixed(2)}`)
        .join(', ')}`,
    );
  }
}

if (process.argv[1]?.endsWith('left-out-paints.ts')) main();
