import { describe, expect, it } from 'vitest';
import type { Fault } from '../../core/clay/explain/fault.ts';
import type { RecordOf } from '../records/record.ts';
import { rightAsTheyAreSteps, takeSoSteps } from './settle-explanation.ts';

const AT = '2026-11-01T10:00:00.000Z';
const common = { version: 3, createdAt: AT, changedAt: AT };

function reading(id: string, tile: string, values: [number, number, number]): RecordOf<'reading'> {
  return {
    id,
    kind: 'reading',
    ...common,
    body: {
      of: { kind: 'tile', id: tile },
      readingKind: 'measured',
      state: 'baked',
      lab: { values, light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'included',
    },
  } as RecordOf<'reading'>;
}

const tile = {
  id: 't4',
  kind: 'tile',
  ...common,
  body: {
    code: 'T4',
    of: { kind: 'mix', id: 'mix-1' },
    basis: 'volume',
    state: 'baked',
    bakes: [],
  },
} as unknown as RecordOf<'tile'>;

const r4 = reading('r4', 't4', [40, 12, -8]);
const r9 = reading('r9', 't9', [70, -5, 30]);
const blocks = new Map([
  ['Kelp', 'block-kelp'],
  ['Foam', 'block-foam'],
]);

const steps = (fault: Fault, readings = [r4]) =>
  takeSoSteps(
    { faults: [fault] },
    {
      readings,
      tileOf: ({ body }) => (body.of.id === 't4' ? tile : undefined),
      blockOf: (clay) => blocks.get(clay),
      basis: 'volume',
    },
  );

describe('taking an explanation as true', () => {
  it('exchanges which tile two readings are of', () => {
    expect(steps({ kind: 'swapped', rows: [4, 9] }, [r4, r9])).toMatchObject([
      { do: 'put', id: 'r4', version: 3, body: { of: { id: 't9' }, lab: r4.body.lab } },
      { do: 'put', id: 'r9', version: 3, body: { of: { id: 't4' }, lab: r9.body.lab } },
    ]);
  });

  it('gives the tile its own recipe, so that a mix it shared stays as it is', () => {
    const parts = [
      { clay: 'Kelp', parts: 1 },
      { clay: 'Foam', parts: 3 },
    ];
    expect(steps({ kind: 'reversed', rows: [4], parts })).toMatchObject([
      {
        id: 't4',
        body: {
          code: 'T4',
          of: {
            parts: [
              { of: { kind: 'block', id: 'block-kelp' }, parts: 1 },
              { of: { kind: 'block', id: 'block-foam' }, parts: 3 },
            ],
          },
        },
      },
    ]);
  });

  it.each([
    [{ kind: 'a and b exchanged', rows: [4] } as Fault, [40, -8, 12]],
    [{ kind: 'sign lost', rows: [4], axis: 'b' } as Fault, [40, 12, 8]],
    [{ kind: 'scale', rows: [4], axes: 'L' } as Fault, [4000, 12, -8]],
  ])('corrects the numbers of a reading: %j', (fault, values) => {
    expect(steps(fault)).toMatchObject([{ id: 'r4', body: { lab: { values } } }]);
  });

  it('deletes a reading that fits nothing', () => {
    expect(steps({ kind: 'reading', rows: [4] })).toEqual([{ do: 'delete', id: 'r4', version: 3 }]);
  });

  it('changes nothing when a clay or a reading is gone', () => {
    const parts = [{ clay: 'Wrack', parts: 1 }];
    expect(steps({ kind: 'amounts', rows: [4], parts })).toBeUndefined();
    expect(steps({ kind: 'swapped', rows: [4, 9] }, [r4])).toBeUndefined();
  });

  it('or says that the readings are right', () => {
    expect(rightAsTheyAreSteps([r4])).toMatchObject([{ id: 'r4', body: { checked: true } }]);
  });
});
