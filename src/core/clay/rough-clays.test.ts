import { describe, expect, it } from 'vitest';
import { D50, RICH, tile } from '../../../test/conformance/virtual-studio.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import { openModel, predictMix } from './predict.ts';
import { withRoughClays } from './rough-clays.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const roughReading = (clay: string, lab: Lab, spread: number): TileReading => ({
  tile: clay,
  parts: [{ clay, share: 1 }],
  colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
  spread,
  geometry: 'excluded',
  partsSpread: 0,
});
const learned = openModel(
  modelFromFit(
    fitClays(
      RICH.map((mix) => tile(mix)),
      shippedPrior(),
    ),
  ),
);
const clays = learned.model.clays.length;
const OPTIONS = { weights: D50, geometry: 'excluded', partsSpread: 0 } as const;

describe('clays of which no tile was learned', () => {
  const both = withRoughClays(learned, [
    roughReading('Squid', [60, 30, 20], 6),
    roughReading('Opal', [85, 0, 5], 6),
  ]);

  it('change no prediction of the others', () => {
    const parts = [
      { clay: 0, share: 0.25 },
      { clay: 2, share: 0.75 },
    ];
    const was = predictMix(learned, parts, OPTIONS);
    const is = predictMix(both, parts, OPTIONS);
    expect(is.lab).toEqual(was.lab);
    for (let i = 0; i < 9; i++) expect(is.covariance[i]).toBeCloseTo(was.covariance[i], 9);
  });

  it('are predicted as their colour says, with a ± of at least that size', () => {
    const { lab, covariance: c } = predictMix(both, [{ clay: clays, share: 1 }], OPTIONS);
    expect(deltaE2000(lab, [60, 30, 20])).toBeLessThan(6);
    expect(Math.sqrt(c[0] + c[4] + c[8])).toBeGreaterThan(5);
    expect(both.model.clays.map(({ name }) => name).slice(clays)).toEqual(['Squid', 'Opal']);
  });

  it('mix with the learned ones, less certain than these among themselves', () => {
    const size = (parts: { clay: number; share: number }[]) => {
      const { covariance: c } = predictMix(both, parts, OPTIONS);
      return Math.sqrt(c[0] + c[4] + c[8]);
    };
    const half = (clay: number) => [
      { clay: 0, share: 0.5 },
      { clay, share: 0.5 },
    ];
    expect(size(half(clays))).toBeGreaterThan(2 * size(half(2)));
  });
});
