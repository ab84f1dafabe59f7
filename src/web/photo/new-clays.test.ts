import { describe, expect, it } from 'vitest';
import { type KnownRecords, targetOf } from './match-code.ts';
import { withNewClays } from './new-clays.ts';

const kelp = {
  kind: 'block',
  id: 'kelp',
  version: 1,
  createdAt: '2026-01-01T00:00:00.000Z',
  changedAt: '2026-01-01T00:00:00.000Z',
  body: { lineId: 'salt', name: 'Kelp', clayType: 'opaque', status: 'current' },
} as const;
const known: KnownRecords = {
  blocks: [kelp],
  nameOfBlock: () => 'Kelp',
  mixes: [],
  tiles: [],
  isRead: () => false,
};
const row = (text: string, newBlock = false, take = true) => ({
  target: targetOf(text, 'baked', known),
  newBlock,
  take,
});

describe('a clay that is new in the photo', () => {
  it('is known to the recipes of the photo once its plain tile is said to be new', () => {
    const recipe = row('N1 = 5 Kelp + 2 limpet');
    expect(withNewClays([recipe, row('Limpet')])[0]).toMatchObject({ missing: ['limpet'] });
    const [mix, plain] = withNewClays([recipe, row('Limpet', true)]);
    expect(plain).toEqual({ is: 'new block', title: 'Limpet', saidHere: true });
    expect(mix).toMatchObject({
      is: 'parts',
      code: 'N1',
      parts: [
        { of: { kind: 'block', id: 'kelp' }, parts: 5 },
        { of: { kind: 'new block', name: 'limpet' }, parts: 2 },
      ],
    });
  });

  it('is not, where its plain tile is left out, and every clay must be known', () => {
    expect(withNewClays([row('1 Kelp + 1 Limpet'), row('Limpet', true, false)])[0].is).toBe(
      'unknown',
    );
    const [mix] = withNewClays([row('1 Limpet + 1 Dulse'), row('Limpet', true)]);
    expect(mix).toMatchObject({ is: 'unknown', missing: ['Dulse'] });
  });

  it('may have a code stamped into its plain tile, and lie there twice', () => {
    expect(withNewClays([row('L1 = Limpet', true), row('LIMPET')])).toEqual([
      { is: 'new block', title: 'Limpet', code: 'L1', saidHere: true },
      { is: 'new block', title: 'LIMPET', saidHere: false },
    ]);
  });

  it('is no way to make a clay of a recipe', () => {
    expect(withNewClays([row('1 Kelp + 1 Limpet', true)])[0].is).toBe('unknown');
  });
});
