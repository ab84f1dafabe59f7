import { describe, expect, it } from 'vitest';
import { newLotSteps } from './new-lot-steps.ts';

const block = {
  body: {
    lineId: 'brindle',
    name: 'Kelp',
    code: 'B7',
    clayType: 'opaque',
    packageG: 57,
    status: 'current',
  },
} as const;
const looks = { lab: [38, -18, 14], readingKind: 'by eye' } as const;
const newId = (kind: string) => `new ${kind}`;

describe('a new lot', () => {
  it('is a block of its own with its baked colour, and the code stays with the old one', () => {
    const { name, steps } = newLotSteps({ block, names: ['Kelp', 'Foam'], looks, newId });
    expect(name).toBe('Kelp, lot 2');
    const [made, read] = steps;
    expect(made).toMatchObject({
      kind: 'block',
      id: 'new block',
      body: { name, lineId: 'brindle', packageG: 57 },
    });
    expect(made).not.toHaveProperty('body.code');
    expect(read).toMatchObject({
      kind: 'reading',
      body: { of: { id: 'new block' }, state: 'baked', readingKind: 'by eye' },
    });
  });

  it('counts on from the lots there are, also where one of them changes again', () => {
    const names = ['Kelp', 'kelp, LOT 2'];
    expect(newLotSteps({ block, names, looks, newId }).name).toBe('Kelp, lot 3');
    const second = { body: { ...block.body, name: 'Kelp, lot 2' } };
    expect(newLotSteps({ block: second, names, looks, newId }).name).toBe('Kelp, lot 3');
  });
});
