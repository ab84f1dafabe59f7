import { describe, expect, it } from 'vitest';
import { labFromAddress } from '../../colour/lab-in-address.ts';
import { mixFromAddress, recipeForAddress } from './recipe-in-address.ts';

describe('a recipe in the address', () => {
  it('comes back as the mix that was written', () => {
    const written = recipeForAddress(
      [
        { blockId: 'kelp', parts: 5 },
        { blockId: 'dead-mans-fingers', parts: 2 },
      ],
      'weight',
      { lab: [52, -18.04, 22], words: ' Sea moss ' },
    );
    expect(written).toEqual({
      pieces: 'kelp:5,dead-mans-fingers:2',
      by: 'weight',
      aim: '52.00_-18.04_22.00',
      called: 'Sea moss',
    });
    expect(mixFromAddress(written)).toEqual({
      basis: 'weight',
      parts: [
        { of: { kind: 'block', id: 'kelp' }, parts: 5 },
        { of: { kind: 'block', id: 'dead-mans-fingers' }, parts: 2 },
      ],
    });
    expect(labFromAddress(written.aim)).toEqual([52, -18.04, 22]);
  });

  it.each(['', 'kelp', 'kelp:0', 'kelp:5,', 'kelp:-1', 'Kelp:5', 'kelp:1e9', 'kelp:5000'])(
    'refuses %j',
    (pieces) => {
      expect(mixFromAddress({ pieces })).toBeUndefined();
    },
  );

  it.each([undefined, '', '1_2', '1_2_3_4', '1_2_x'])('reads no colour from %j', (aim) => {
    expect(labFromAddress(aim)).toBeUndefined();
  });
});
