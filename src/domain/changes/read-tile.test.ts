import { describe, expect, it } from 'vitest';
import type { RecordOf } from '../records/record.ts';
import { readTileSteps, tileToRead } from './read-tile.ts';

const at = '2026-01-01T00:00:00.000Z';
const envelope = { version: 3, createdAt: at, changedAt: at } as const;
const tile = (id: string, called: object, state: 'raw' | 'baked'): RecordOf<'tile'> => ({
  kind: 'tile',
  id,
  ...envelope,
  body: { of: { kind: 'block', id: 'kelp' }, basis: 'volume', state, bakes: [], ...called },
});
const reading = (tileId: string, state: 'raw' | 'baked') => ({
  body: {
    of: { kind: 'tile' as const, id: tileId },
    readingKind: 'by eye' as const,
    state,
    spread: 4,
    geometry: 'excluded' as const,
  },
});
const ask = {
  of: { kind: 'block', id: 'kelp' },
  basis: 'volume',
  lab: [50, 1, 2],
  readingKind: 'measured',
  newId: (kind: string) => `new-${kind}`,
} as const;

describe('the tile a reading belongs to', () => {
  it('is the one with its code, however often it was read', () => {
    const here = {
      tiles: [tile('t', { code: 'A 1' }, 'baked')],
      readings: [reading('t', 'baked')],
    };
    expect(tileToRead(here, { code: 'a1', name: 'Sea moss' }, 'baked')?.id).toBe('t');
    expect(tileToRead(here, { code: 'A2', name: 'Sea moss' }, 'baked')).toBeUndefined();
  });

  it('is without a code the one of this name that was not read in this state', () => {
    const here = { tiles: [tile('t', { name: 'Kelp' }, 'raw')], readings: [reading('t', 'raw')] };
    expect(tileToRead(here, { name: 'kelp' }, 'baked')?.id).toBe('t');
    expect(tileToRead(here, { name: 'Kelp' }, 'raw')).toBeUndefined();
    expect(tileToRead(here, { name: 'Foam' }, 'baked')).toBeUndefined();
  });
});

describe('a reading of a tile', () => {
  it('joins the tile, which is baked from then on', () => {
    const raw = tile('t', { code: 'A1' }, 'raw');
    const steps = readTileSteps({
      ...ask,
      called: { code: 'A1', name: '' },
      tile: raw,
      state: 'baked',
    });
    expect(steps).toMatchObject([
      { kind: 'tile', id: 't', version: 3, body: { state: 'baked', code: 'A1' } },
      { kind: 'reading', body: { of: { kind: 'tile', id: 't' }, state: 'baked', spread: 0.5 } },
    ]);
  });

  it('makes a tile, which takes the code only where the code is free', () => {
    const called = { code: 'A1', name: 'Sea moss' };
    const made = (isCodeFree: boolean) =>
      readTileSteps({ ...ask, called, tile: undefined, state: 'raw', isCodeFree })[0];
    expect(made(true)).toMatchObject({ id: 'new-tile', body: { code: 'A1', state: 'raw' } });
    expect(made(false)).toMatchObject({ body: { name: 'Sea moss' } });
  });
});
