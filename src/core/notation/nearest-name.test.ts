import { expect, it } from 'vitest';
import { nearestNames } from './nearest-name.ts';

const clays = ['Kelp', 'Foam', 'Periwinkle', 'Barnacle', 'Foam (old lot)'];

it.each<[string, string[]]>([
  ['Klep', ['Kelp']],
  ['kelpp', ['Kelp']],
  ['Periwinkel', ['Periwinkle']],
  ['barnicle', ['Barnacle']],
  ['winkle', ['Periwinkle']],
  ['Faom', ['Foam']],
  ['Urchin', []],
  ['', []],
  ['x', []],
])('the names nearest to %j', (unknown, nearest) => {
  expect(nearestNames(unknown, clays).slice(0, Math.max(1, nearest.length))).toEqual(nearest);
});
