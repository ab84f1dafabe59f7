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
])('the names most like %j', (unknown, similar) => {
  expect(nearestNames(unknown, clays).slice(0, Math.max(1, similar.length))).toEqual(similar);
});
