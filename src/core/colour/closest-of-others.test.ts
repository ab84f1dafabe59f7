import { expect, it } from 'vitest';
import { closestOfOtherLines } from './closest-of-others.ts';
import { deltaE2000 } from './difference.ts';
import type { Lab } from './triples.ts';

const block = (id: string, group: string, ...lab: Lab) => ({ id, group, lab });

it('finds the closest block of another line, across words for hues too', () => {
  const blocks = [
    block('teal', 'saltmarsh', 50, -30, -2),
    // A green by name, and closer than the other teal.
    block('green', 'brindle', 50, -30, 1),
    block('far-teal', 'brindle', 58, -34, -4),
    block('twin', 'saltmarsh', 50, -30, -2),
  ];
  const found = closestOfOtherLines(blocks);
  expect(found.get('teal')?.other.id).toBe('green');
  expect(found.get('far-teal')?.other.group).toBe('saltmarsh');
  for (const one of blocks) {
    const others = blocks.filter(({ group }) => group !== one.group);
    const best = Math.min(...others.map(({ lab }) => deltaE2000(one.lab, lab)));
    expect(deltaE2000(one.lab, found.get(one.id)!.other.lab)).toBeCloseTo(best, 9);
  }
});

it('has nothing to compare where there is one line', () => {
  expect(closestOfOtherLines([block('a', 'x', 1, 2, 3), block('b', 'x', 4, 5, 6)]).size).toBe(0);
});
