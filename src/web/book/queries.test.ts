import { expect, it } from 'vitest';
import { allQuery, type LoadedRecords } from './queries.ts';

const record = (id: string, name: string) =>
  ({ id, kind: 'line', version: 1, body: { name, status: 'current' } }) as never;
const held = (...records: never[]): LoadedRecords<'line'> => ({
  records,
  byId: new Map(records.map((one: { id: string }) => [one.id, one])) as never,
  total: records.length,
});
const { structuralSharing: shared } = allQuery('line');

it('keeps what is held where it is found the same again', () => {
  const before = held(record('a', 'Saltmarsh'), record('b', 'Brindle'));
  expect(shared(before, held(record('a', 'Saltmarsh'), record('b', 'Brindle')))).toBe(before);
});

it('takes what changed, and keeps the records that did not', () => {
  const before = held(record('a', 'Saltmarsh'), record('b', 'Brindle'));
  const after = shared(before, held(record('a', 'Saltmarsh'), record('b', 'Lantern')));
  expect(after.records[0]).toBe(before.records[0]);
  expect(after.records[1].body.name).toBe('Lantern');
  expect(after.byId.get('b')).toBe(after.records[1]);
  expect(shared(undefined, after)).toBe(after);
});

it('takes another total of the same records', () => {
  const before = held(record('a', 'Saltmarsh'));
  expect(shared(before, { ...before, total: 7 }).total).toBe(7);
});
