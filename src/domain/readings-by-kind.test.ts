import { describe, expect, it } from 'vitest';
import { countsByKind, knownFrom } from './readings-by-kind.ts';
import type { Reading } from './records/reading.ts';
import type { ReadingKind } from './records/reading-kind.ts';

function reading(kind: ReadingKind, ...clays: string[]): Reading {
  return {
    tile: '1',
    of: clays.map((clay) => ({ clay, parts: 1 })),
    kind,
    basis: 'volume',
    state: 'baked',
    lab: { values: [50, 0, 0], light: 'D50', observer: 2 },
    spread: 1,
    geometry: 'excluded',
    partsSpread: 0,
    place: { file: 'tiles.csv', line: 2 },
  };
}

describe('readings by kind', () => {
  it('are counted for every clay they hold, once each, whatever the spelling', () => {
    const readings = [
      reading('measured', 'Foam'),
      reading('rough', 'Kelp', ' KELP', 'Foam'),
      reading('claimed', 'kelp'),
      reading('claimed', 'Kelp'),
    ];
    expect(countsByKind(readings, ['Kelp', 'Foam'])).toEqual([
      { rough: 1, claimed: 2 },
      { measured: 1, rough: 1 },
    ]);
  });

  it('make a clay known from the surest of them', () => {
    expect(knownFrom({ claimed: 9, rough: 1 })).toBe('rough');
    expect(knownFrom({ claimed: 9, measured: 1, 'by eye': 2 })).toBe('measured');
    expect(knownFrom({ claimed: 1, borrowed: 1, 'by eye': 1 })).toBe('borrowed');
  });
});
