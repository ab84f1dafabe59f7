import { expect, it } from 'vitest';
import { clayNames } from './clay-names.ts';

const block = (id: string, lineId: string, name: string, code?: string) => ({
  id,
  body: {
    lineId,
    name,
    clayType: 'opaque' as const,
    status: 'current' as const,
    ...(code === undefined ? {} : { code }),
  },
});
const LINES = new Map(
  ['Saltmarsh', 'Brindle', 'Pebble'].map((name) => [
    name.toLowerCase(),
    { body: { name, status: 'current' as const } },
  ]),
);
const namesOf = (...blocks: ReturnType<typeof block>[]) =>
  Object.fromEntries(clayNames(blocks, LINES));

it('is the name of a block, with its line only where two share the name', () => {
  const one = block('a', 'saltmarsh', 'Kelp');
  expect(namesOf(one, block('b', 'brindle', 'Foam'))).toEqual({ a: 'Kelp', b: 'Foam' });
  expect(namesOf(one, block('b', 'brindle', 'kelp'))).toEqual({
    a: 'Saltmarsh Kelp',
    b: 'Brindle kelp',
  });
});

it('says a line once, where the name says it already', () => {
  expect(
    namesOf(block('a', 'pebble', 'Pebble Yellow'), block('b', 'brindle', 'Pebble Yellow')),
  ).toEqual({ a: 'Pebble Yellow', b: 'Brindle Pebble Yellow' });
});

it('tells blocks of one name and line apart by code and by number', () => {
  expect(
    namesOf(
      block('a', 'saltmarsh', 'Kelp'),
      block('b', 'saltmarsh', 'Kelp', 'K2'),
      block('c', 'saltmarsh', 'Kelp'),
    ),
  ).toEqual({
    a: 'Saltmarsh Kelp (number 1)',
    b: 'Saltmarsh Kelp (code K2)',
    c: 'Saltmarsh Kelp (number 3)',
  });
});

it('is never a word that means many clays', () => {
  expect(namesOf(block('a', 'saltmarsh', 'Pearl'), block('b', 'saltmarsh', 'Brindle'))).toEqual({
    a: 'Saltmarsh Pearl',
    b: 'Saltmarsh Brindle',
  });
});
