import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { adaptXyz } from './adaptation.ts';
import { colourName } from './colour-name.ts';
import { labFromMunsell } from './munsell.ts';
import { parseMunsell } from './munsell-notation.ts';
import { C_WHITE } from './munsell-surface.ts';
import { labFromXyz } from './spaces.ts';
import { colourWeights } from './weights.ts';

describe('colourName', () => {
  // Kelly 1958: the centroid of a block carries the block's name.
  it('names the centroids that the renotation holds', () => {
    const rows = oracle('iscc-nbs-centroids.csv');
    expect(rows).toHaveLength(267);
    let held = 0;
    for (const row of rows) {
      const neutral = row.hue === 'N';
      const notation = neutral ? `N ${row.V}/` : `${row.hue} ${row.V}/${row.C}`;
      const answer = labFromMunsell(parseMunsell(notation));
      if (!answer.held) continue;
      held++;
      const got = colourName(answer.lab);
      expect(got.name).toBe(row.name);
      expect(got.number).toBe(Number(row.number));
      expect(got.deltaE).toBeLessThan(1e-6);
    }
    // Twelve lie past value 1 or 9, or at a chroma the table does not reach at their value.
    expect(held).toBe(255);
  });

  // The sheet of the 24-patch chart (McCamy, Marcus, Davidson 1976) names by block, this function
  // by the closest middle: three of its first twelve patches are closer to the middle of a
  // neighbour.
  it('gives nine of twelve chart patches the name on their sheet', () => {
    const white = colourWeights('D50', 2).white;
    const missed = oracle('chart-insert-munsell-names.csv')
      .filter((row) => {
        const [x, y, percent] = numbers(row, 'x', 'y', 'Y');
        const Y = percent / 100;
        const xyz = adaptXyz([(x * Y) / y, Y, ((1 - x - y) * Y) / y], C_WHITE, white);
        return colourName(labFromXyz(xyz, white)).name !== row.iscc_nbs_name;
      })
      .map((row) => row.name);
    expect(missed).toEqual(['light skin', 'purple', 'yellow green']);
  });

  it('calls black black and white white, up to both ends', () => {
    expect(colourName([0, 0, 0]).name).toBe('black');
    expect(colourName([14, 0, 0]).name).toBe('black');
    expect(colourName([100, 0, 0]).name).toBe('white');
    expect(colourName([0, 0, 0]).deltaE).toBeGreaterThan(5);
  });

  it('gives the second closest, which is another and no closer', () => {
    const got = colourName([55, 30, 40]);
    expect(got.next.number).not.toBe(got.number);
    expect(got.next.deltaE).toBeGreaterThanOrEqual(got.deltaE);
  });
});
