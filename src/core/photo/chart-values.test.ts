import { describe, expect, it } from 'vitest';
import { numbers, oracle, spectrumOf } from '../../../test/oracles/colour/read-oracle.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { GRID_NM } from '../colour/grid.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import { CHART_VALUES, PATCH_NAMES } from './chart-values.ts';

describe('CHART_VALUES', () => {
  it.each([
    ['before 2014', 'before2014'],
    ['from 2014', 'from2014'],
  ] as const)('%s are the published ones', (edition, column) => {
    const rows = oracle('lab-d50-published.csv');
    expect(rows.map((row) => row.patch)).toEqual(PATCH_NAMES);
    rows.forEach((row, i) => {
      expect(CHART_VALUES[edition][i]).toEqual(
        numbers(row, `L_${column}`, `a_${column}`, `b_${column}`),
      );
    });
  });

  it('before 2014 are close to the mean of 30 charts of that time', () => {
    // The source of the spectra finds 0.49 on average and 1.14 at most.
    const off = oracle('spectra-average30.csv').map((row, i) => {
      const { nm, values } = spectrumOf(row);
      const spectrum = Float64Array.from(GRID_NM, (at) => values[nm.indexOf(at)]);
      const lab = labFromSpectrum(spectrum, colourWeights('D50', 2));
      return deltaE2000(lab, CHART_VALUES['before 2014'][i]);
    });
    expect(Math.max(...off)).toBeLessThan(1.2);
  });
});
