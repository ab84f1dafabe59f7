import { describe, expect, it } from 'vitest';
import { predictMix } from '../src/core/clay/predict.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { startSearch } from '../src/core/search/search.ts';
import { numbers, oracle } from '../test/oracles/colour/read-oracle.ts';
import { plainCount, plainDeltaE2000, plainMix, plainSearch } from './plain-search.ts';
import { seededAims, stockPlain, stockPredictor } from './stock.ts';

/** Two ways of summing the same 36 bands. */
const ROUNDING = 1e-9;
const weights = colourWeights('D50', 2);

describe('the plain search', () => {
  // Sharma, Wu, Dalal, Color Res. Appl. 30(1), 2005, Table 1: four decimals.
  it('has the CIEDE2000 of the published pairs', () => {
    for (const row of oracle('ciede2000-sharma2005.csv')) {
      const [l1, a1, b1, l2, a2, b2, expected] = numbers(
        row,
        'L1',
        'a1',
        'b1',
        'L2',
        'a2',
        'b2',
        'dE00',
      );
      const found = plainDeltaE2000([l1, a1, b1], [l2, a2, b2]);
      expect(Math.abs(found - expected), `pair ${row.pair}`).toBeLessThan(0.0001);
    }
  });

  it('predicts mixes as the product does, including whites and dilution', () => {
    const predictor = stockPredictor(46);
    const stock = stockPlain(predictor);
    const whites = stock.clays.flatMap(({ white }, i) => (white ? [i] : []));
    expect(whites).toHaveLength(2);
    for (const parts of [
      [
        [0, 3],
        [1, 1],
      ],
      [
        [7, 2],
        [12, 1],
      ],
      [
        [whites[1], 5],
        [9, 2],
        [30, 1],
      ],
      [
        [whites[0], 1],
        [whites[1], 2],
      ],
      [[4, 1]],
    ]) {
      const recipe = parts.map(([clay, n]) => ({ clay, parts: n }));
      const total = recipe.reduce((sum, part) => sum + part.parts, 0);
      const { lab } = predictMix(
        predictor,
        recipe.map((part) => ({ clay: part.clay, share: part.parts / total })),
        { weights, partsSpread: 0 },
      );
      plainMix(stock, recipe).forEach((v, i) => {
        expect(Math.abs(v - lab[i])).toBeLessThan(ROUNDING);
      });
    }
  });

  it('finds what the exhaustive search of the product finds', () => {
    const predictor = stockPredictor(9);
    const stock = stockPlain(predictor);
    for (const { lab: aim } of seededAims(predictor, 6, 3)) {
      const bounds = { aim, mostClays: 3, parts: 7, top: 10 };
      const plain = plainSearch({ ...stock, ...bounds });
      const run = startSearch(predictor, {
        ...bounds,
        weights,
        clays: stock.clays.map((_, i) => i),
      });
      while (!run.step(1_000_000));
      expect(plain.tried).toBe(plainCount(9, 3, 7));
      expect(plain.best).toHaveLength(10);
      run.best().forEach(({ dE00 }, i) => {
        expect(Math.abs(dE00 - plain.best[i].dE00)).toBeLessThan(ROUNDING);
      });
    }
  });

  it('counts recipes without a common factor', () => {
    // By hand: A; B; A + B, A + 2 B, 2 A + B.
    expect(plainCount(2, 2, 3)).toBe(5);
    // C(46, m) C(12, m) summed over 1 to 4 clays is 84.2 million; multiples come off.
    expect(plainCount(46, 4, 12)).toBeGreaterThan(81_000_000);
    expect(plainCount(46, 4, 12)).toBeLessThan(84_000_000);
  });
});

describe('seeded aims', () => {
  it('are the same for the same seed and come in three kinds', () => {
    const predictor = stockPredictor(12);
    const aims = seededAims(predictor, 9, 5);
    expect(seededAims(predictor, 9, 5)).toEqual(aims);
    expect(seededAims(predictor, 9, 6)).not.toEqual(aims);
    expect(new Set(aims.map(({ kind }) => kind)).size).toBe(3);
  });

  it('are close to what can be mixed when inside and away from it when outside', () => {
    const predictor = stockPredictor(12);
    const stock = stockPlain(predictor);
    const nearest = seededAims(predictor, 12, 8).map(({ kind, lab: aim }) => ({
      kind,
      dE00: plainSearch({ ...stock, aim, mostClays: 3, parts: 8, top: 1 }).best[0].dE00,
    }));
    const worst = (kind: string) =>
      Math.max(...nearest.filter((row) => row.kind === kind).map((row) => row.dE00));
    expect(worst('inside')).toBeLessThan(3.5);
    expect(worst('outside')).toBeGreaterThan(worst('inside'));
  });
});
