import { describe, expect, it } from 'vitest';
import { D50, PAINTS, RICH, tile } from '../../../test/conformance/virtual-studio.ts';
import { BlockMatrix, factorise } from '../clay/block-cholesky.ts';
import { modelFromFit } from '../clay/clay-model.ts';
import { lowerTimes, metricAt, solveUpper } from '../clay/design-space.ts';
import { fitClays } from '../clay/fit.ts';
import { sharesOfParts } from '../clay/mixture.ts';
import { mixInUnknowns, openModel } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import { type NextTileOptions, nextTiles } from './next-tile.ts';
import { candidateTiles, representativeMixes } from './tile-candidates.ts';

const { white, black, red } = PAINTS;
const fit = fitClays(
  Object.values(PAINTS).map((p) => tile([[p, 1]])),
  shippedPrior(),
);
const model = modelFromFit(fit);
const predictor = openModel(model);
const all = model.clays.map((_, i) => i);
const at = (paint: { name: string }) => fit.set.clays.indexOf(paint.name);
const OPTIONS: NextTileOptions = {
  weights: D50,
  tiles: 3,
  candidates: candidateTiles(model, all, 8),
  targets: representativeMixes(all, 40),
  spread: 0.5,
  partsSpread: 0.03,
};

/** Dense slopes of a mix in the order of blocks. */
function denseSlopes(parts: Parameters<typeof mixInUnknowns>[1]) {
  const sizes: number[] = [];
  model.factor.order.forEach((block, p) => {
    sizes[block] = model.factor.sizes[p];
  });
  const starts = sizes.map((_, i) => sizes.slice(0, i).reduce((a, b) => a + b, 0));
  const n = sizes.reduce((a, b) => a + b, 0);
  const mix = mixInUnknowns(predictor, parts, {
    weights: D50,
    partsSpread: parts.length > 1 ? 0.03 : 0,
  });
  const j = Array.from({ length: 3 }, () => new Array<number>(n).fill(0));
  for (const [block, slopes] of mix.blocks) {
    for (let r = 0; r < 3; r++) {
      for (let k = 0; k < sizes[block]; k++) {
        j[r][starts[block] + k] = slopes[r * sizes[block] + k];
      }
    }
  }
  return { j, mix, n, starts, sizes };
}

/** Covariance of the unknowns as one dense matrix: P from its factor, then Gauss-Jordan. */
function denseCovariance(): number[][] {
  const { n, starts, sizes } = denseSlopes([{ clay: 0, share: 1 }]);
  const { order, columns } = model.factor;
  const lower = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  columns.forEach((column, p) => {
    for (const { row, values } of column) {
      const [i0, j0] = [starts[order[row]], starts[order[p]]];
      const width = sizes[order[p]];
      values.forEach((v, k) => {
        lower[i0 + Math.floor(k / width)][j0 + (k % width)] = v;
      });
    }
  });
  const p = lower.map((a) => lower.map((b) => a.reduce((sum, v, k) => sum + v * b[k], 0)));
  return inverse(p);
}

function inverse(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const a = matrix.map((row, i) => [...row, ...row.map((_, k) => (k === i ? 1 : 0))]);
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c; r < n; r++) if (Math.abs(a[r][c]) > Math.abs(a[pivot][c])) pivot = r;
    [a[c], a[pivot]] = [a[pivot], a[c]];
    const by = a[c][c];
    a[c] = a[c].map((v) => v / by);
    for (let r = 0; r < n; r++) {
      const times = a[r][c];
      if (r !== c && times !== 0) a[r] = a[r].map((v, k) => v - times * a[c][k]);
    }
  }
  return a.map((row) => row.slice(n));
}

const product = (a: number[][], b: number[][]) =>
  a.map((row) => b[0].map((_, k) => row.reduce((sum, v, i) => sum + v * b[i][k], 0)));
const turned = (a: number[][]) => a[0].map((_, k) => a.map((row) => row[k]));

describe('the choice of the next tile', () => {
  it('predicts the ± that conditioning the whole dense covariance gives', () => {
    // Textbook conditioning of a Gaussian on a linear reading, no whitening, no downdating of parts.
    const { tiles, expected } = nextTiles(predictor, OPTIONS);
    let covariance = denseCovariance();
    const meanError = () =>
      OPTIONS.targets.reduce((sum, parts) => {
        const { j, mix } = denseSlopes(parts);
        const c = product(product(j, covariance), turned(j));
        const w = metricAt(mix.lab);
        let square = 0;
        for (let i = 0; i < 9; i++) square += w[i] * (c[Math.floor(i / 3)][i % 3] + mix.own[i]);
        return sum + Math.sqrt(square);
      }, 0) / OPTIONS.targets.length;
    const digits = 6;
    expect(meanError()).toBeCloseTo(expected, digits);
    expect(tiles).toHaveLength(3);
    for (const { parts, before, after } of tiles) {
      expect(meanError()).toBeCloseTo(before, digits);
      const { j, mix } = denseSlopes(sharesOfParts(parts));
      const cj = product(covariance, turned(j));
      const seen = product(j, cj).map((row, r) =>
        row.map((v, k) => v + mix.own[r * 3 + k] + (r === k ? OPTIONS.spread ** 2 : 0)),
      );
      const drop = product(product(cj, inverse(seen)), turned(cj));
      covariance = covariance.map((row, i) => row.map((v, k) => v - drop[i][k]));
      expect(meanError()).toBeCloseTo(after, digits);
    }
  });

  it('names first a tile within a few hundredths of the best that trying each one finds', () => {
    const options = { ...OPTIONS, tiles: 1 };
    const after = options.candidates.map(
      (candidate) => nextTiles(predictor, { ...options, candidates: [candidate] }).tiles[0]?.after,
    );
    const best = Math.min(...after.filter((v) => v !== undefined));
    const [first] = nextTiles(predictor, options).tiles;
    // Ranked by the mean square of the ±, not by its mean, and ties go to fewer parts.
    expect(first.before - first.after).toBeGreaterThan(0.85 * (first.before - best));
  });

  it('names what is least known: a tile of the clay without tints, when all others have theirs', () => {
    const without = RICH.filter((mix) => mix.length === 1 || mix.every(([p]) => p !== red));
    const poor = modelFromFit(
      fitClays(
        [
          ...without,
          [
            [white, 15],
            [black, 1],
          ] as (typeof RICH)[number],
        ].map((mix) => tile(mix)),
        shippedPrior(),
      ),
    );
    const indices = poor.clays.map((_, i) => i);
    const { tiles } = nextTiles(openModel(poor), {
      ...OPTIONS,
      tiles: 1,
      candidates: candidateTiles(poor, indices, 16),
      targets: representativeMixes(indices, 100),
    });
    expect(tiles[0].parts.map(({ clay }) => poor.clays[clay].name)).toContain(red.name);
    expect(poor.clays[tiles[0].reason.clay].name).toBe(red.name);
    expect(tiles[0].sentence).toContain(`${red.name} `);
  });

  it('credits a recipe that is baked itself with what no other tile shows about it', () => {
    const parts = [
      { clay: at(red), parts: 3 },
      { clay: at(black), parts: 2 },
      { clay: at(white), parts: 4 },
    ];
    const options = { ...OPTIONS, tiles: 1, targets: [sharesOfParts(parts)], candidates: [parts] };
    const [blind] = nextTiles(predictor, options).tiles;
    const [seeing] = nextTiles(predictor, { ...options, bakeTargets: true }).tiles;
    expect(seeing.before).toBeCloseTo(blind.before, 9);
    expect(seeing.after).toBeLessThan(blind.after);
    // The remainder is at most what a reading of 0.5 an axis and parts measured out twice leave.
    const { mix } = denseSlopes(sharesOfParts(parts));
    const w = metricAt(mix.lab);
    expect(blind.after).toBeGreaterThan(0.5 * Math.sqrt(w[0]));
  });

  it('gives the same answer whatever the order of the candidates', () => {
    const back = { ...OPTIONS, candidates: OPTIONS.candidates.toReversed() };
    const sums = ({ tiles }: ReturnType<typeof nextTiles>) =>
      tiles.map(({ parts }) => parts.reduce((sum, part) => sum + part.parts, 0));
    expect(sums(nextTiles(predictor, back))).toEqual(sums(nextTiles(predictor, OPTIONS)));
  });

  it('names none where a reading shows nothing', () => {
    const { tiles } = nextTiles(predictor, { ...OPTIONS, spread: 1e4 });
    expect(tiles).toEqual([]);
  });

  it.each([
    { targets: [] },
    { tiles: 0 },
    { tiles: 1.5 },
    { spread: 0 },
    { spread: Number.NaN },
    { partsSpread: -1 },
    { candidates: [[{ clay: 99, parts: 1 }]] },
  ])('refuses %j', (wrong) => {
    expect(() => nextTiles(predictor, { ...OPTIONS, ...wrong })).toThrow(AppError);
  });
});

describe('tiles the user could bake', () => {
  it('are whole, within the parts, of one or two clays, and none twice', () => {
    const tiles = candidateTiles(model, all, 16);
    const keys = tiles.map((parts) => JSON.stringify(sharesOfParts(parts)));
    expect(new Set(keys).size).toBe(tiles.length);
    for (const parts of tiles) {
      expect(parts.length).toBeLessThanOrEqual(2);
      expect(parts.every((part) => Number.isInteger(part.parts) && part.parts > 0)).toBe(true);
      expect(parts.reduce((sum, part) => sum + part.parts, 0)).toBeLessThanOrEqual(16);
      // Every clay of this model has been baked alone.
      expect(parts.length).toBe(2);
    }
    expect(tiles).toContainEqual([
      { clay: at(red), parts: 15 },
      { clay: at(black), parts: 1 },
    ]);
  });

  it('represent mixes in which every clay occurs equally often, ± 1', () => {
    const counts = new Map<number, number>();
    for (const mix of representativeMixes(all, 101)) {
      expect(mix.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
      for (const { clay } of mix) counts.set(clay, (counts.get(clay) ?? 0) + 1);
    }
    const seen = all.map((clay) => counts.get(clay) ?? 0);
    expect(Math.max(...seen) - Math.min(...seen)).toBeLessThanOrEqual(2);
  });
});

describe('the measures it is based on', () => {
  it('a factor times and solved: L Lᵀ x is A x', () => {
    const a = new BlockMatrix([2, 1]);
    a.block(0, 0).set([4, 1, 1, 3]);
    a.block(1, 0).set([0.5, -1]);
    a.block(1, 1).set([2]);
    const factor = factorise(a, [1, 0]);
    // In order of elimination: block 1 first.
    const dense = [
      [2, 0.5, -1],
      [0.5, 4, 1],
      [-1, 1, 3],
    ];
    const x = Float64Array.of(0.3, -2, 1.7);
    const upper = solveUpper(factor, lowerTimes(factor, x));
    // Lᵀ(L⁻ᵀ L x) = L x, so A (L⁻ᵀ L x) = L L x.
    const left = dense.map((row) => row.reduce((sum, v, k) => sum + v * upper[k], 0));
    const right = lowerTimes(factor, lowerTimes(factor, x));
    left.forEach((v, i) => {
      expect(v).toBeCloseTo(right[i], 12);
    });
  });

  it('a metric that is CIEDE2000 for small steps', () => {
    const lab: Lab = [52, 30, -21];
    const w = metricAt(lab);
    for (const d of [
      [0.2, 0, 0],
      [0.1, -0.2, 0.1],
      [0, 0.15, 0.2],
    ]) {
      const there = deltaE2000(lab, [lab[0] + d[0], lab[1] + d[1], lab[2] + d[2]]);
      const squared = d.reduce(
        (sum, v, i) => sum + d.reduce((s, u, k) => s + v * u * w[i * 3 + k], 0),
        0,
      );
      // Its weights change by about a hundredth over such a step.
      expect(Math.sqrt(squared) / there).toBeCloseTo(1, 1);
    }
  });
});
