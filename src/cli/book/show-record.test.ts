import { expect, it } from 'vitest';
import { recordText } from './show-record.ts';

it('shows numbers with the digits people read', () => {
  const body = {
    name: 'Sea moss',
    basis: 'volume',
    status: 'test',
    parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 3 }],
    predicted: {
      lab: [54.97153491395021, -9.977357406176557, 0.0482778335916],
      plusMinus: 1.7218,
      clayModelId: 'tides',
    },
  };
  const record = { id: 'moss', kind: 'mix', version: 1, changedAt: '2026-01-31T10:00', body };
  const text = recordText({ record, names: new Map([['kelp', 'Kelp']]) } as never);
  expect(text).toContain('54.97, -9.98, 0.0483');
  expect(text).toContain('1.72\n');
  expect(text).toContain('3 Kelp');
  // Every value begins in the same column, also beside the longest field.
  const columns = text.split('\n').flatMap((row) => {
    const found = /^ {2}(name|predicted\.clayModelId) +/.exec(row);
    return found === null ? [] : [found[0].length];
  });
  expect(columns).toEqual([columns[1], columns[1]]);
});
