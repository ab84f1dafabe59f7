import { describe, expect, it } from 'vitest';
import type { RecordOf } from '../../domain/records/record.ts';
import { type KnownRecords, type Target, targetOf, wordsToLookUp } from './match-code.ts';

const envelope = {
  version: 1,
  createdAt: '2026-01-01T00:00:00.000Z',
  changedAt: '2026-01-01T00:00:00.000Z',
};
const block = (id: string, name: string): RecordOf<'block'> => ({
  kind: 'block',
  id,
  ...envelope,
  body: { lineId: 'salt', name, clayType: 'opaque', status: 'current' },
});
const mix = (id: string, code: string, name: string): RecordOf<'mix'> => ({
  kind: 'mix',
  id,
  ...envelope,
  body: {
    code,
    name,
    basis: 'weight',
    status: 'saved',
    parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
  },
});
const tile = (id: string, photoResult: { code?: string; name?: string }): RecordOf<'tile'> => ({
  kind: 'tile',
  id,
  ...envelope,
  body: {
    of: { kind: 'block', id: 'kelp' },
    basis: 'volume',
    state: 'baked',
    bakes: [],
    ...photoResult,
  },
});

const blocks = [block('kelp', 'Kelp'), block('foam', 'Foam'), block('twin', 'Foam')];
const nameOf = (id: string) => (id === 'odd' ? '=1+1' : known.nameOfBlock(id));
const known: KnownRecords = {
  blocks,
  nameOfBlock: (id) => (id === 'kelp' ? 'Kelp' : id === 'foam' ? 'Saltmarsh Foam' : 'Brindle Foam'),
  mixes: [mix('moss', 'K7', 'Sea moss'), mix('sand', 'S1', 'Sand')],
  tiles: [tile('t7', { code: 'T 7' }), tile('tk', { name: 'Kelp' })],
  isRead: (id, state) => id === 'tk' && state === 'baked',
};
const target = (text: string, state: 'raw' | 'baked' = 'baked') => targetOf(text, state, known);
const idOf = (found: Target) =>
  found.is === 'tile' ? found.tile.id : found.is === 'new tile' ? found.of.id : found.is;

describe('words beside a tile', () => {
  it.each([
    ['T7', 't7'],
    [' t 7 ', 't7'],
    ['k7', 'moss'],
    ['sea  Moss', 'moss'],
    ['kelp', 'kelp'],
    ['Brindle foam', 'twin'],
    ['', 'nothing'],
    ['Foam', 'unknown'],
  ])('%j stand for %s', (text, id) => {
    expect(idOf(target(text))).toBe(id);
  });

  it('mean the tile of that name where it was not read raw yet', () => {
    expect(idOf(target('Kelp', 'raw'))).toBe('tk');
  });

  it('give a tile of a mix the code and the basis of its mix', () => {
    expect(target('K7')).toMatchObject({ is: 'new tile', code: 'K7', basis: 'weight' });
  });

  it('may be a recipe, with its code before it', () => {
    expect(target('N1 = 5 Kelp + 2 S1')).toEqual({
      is: 'parts',
      code: 'N1',
      title: 'N1',
      parts: [
        { of: { kind: 'block', id: 'kelp' }, parts: 5 },
        { of: { kind: 'mix', id: 'sand' }, parts: 2 },
      ],
    });
    const words = wordsToLookUp('N1 = 5 Kelp + 2 S 1').map((word) => word.toLowerCase());
    expect(words).toEqual(expect.arrayContaining(['kelp', 's 1', 's1']));
  });

  it('may name a clay in quotes, with an equals sign in its name', () => {
    const named = { ...known, blocks: [...blocks, block('odd', '=1+1')], nameOfBlock: nameOf };
    const parts = [
      { of: { kind: 'block', id: 'kelp' }, parts: 3 },
      { of: { kind: 'block', id: 'odd' }, parts: 1 },
    ];
    expect(targetOf('3 Kelp + 1 "=1+1"', 'baked', named)).toMatchObject({ is: 'parts', parts });
    const coded = targetOf('N1 = 3 Kelp + 1 "=1+1"', 'baked', named);
    expect(coded).toMatchObject({ is: 'parts', code: 'N1', parts });
  });

  it('may be a recipe with nothing between its parts, as on a written page', () => {
    const parts = [
      { of: { kind: 'block', id: 'kelp' }, parts: 5 },
      { of: { kind: 'mix', id: 'sand' }, parts: 2 },
    ];
    expect(target('N1 = 5 Kelp 2 Sand')).toMatchObject({ is: 'parts', code: 'N1', parts });
    expect(target('5 kelp 2,0 sand')).toMatchObject({ is: 'parts', parts });
    expect(target('5 Kelp 2 Buttercup')).toMatchObject({ missing: ['Buttercup'] });
    const words = wordsToLookUp('N1 = 5 Kelp 2 Sand').map((word) => word.toLowerCase());
    expect(words).toEqual(expect.arrayContaining(['kelp', 'sand']));
    // A name may hold a number, and is then no second part.
    const named = { ...known, mixes: [...known.mixes, mix('w', 'W1', 'Wave 2 Blue')] };
    expect(targetOf('3 Wave 2 Blue + 1 Kelp', 'baked', named)).toMatchObject({
      parts: [{ of: { id: 'w' } }, { of: { id: 'kelp' } }],
    });
    expect(targetOf('N2 = 3 Wave 2 Blue', 'baked', named)).toMatchObject({
      parts: [{ of: { id: 'w' }, parts: 3 }],
    });
  });

  it('name the clay of a recipe that is not known, and one like it', () => {
    expect(target('5 Klep + 2 S1')).toMatchObject({
      is: 'unknown',
      missing: ['Klep'],
      near: ['Kelp'],
    });
  });

  it('offer what begins so, while the user types', () => {
    expect(target('Sa')).toMatchObject({ is: 'unknown', near: expect.arrayContaining(['Sand']) });
  });

  it('offer what looks alike once stamped', () => {
    expect(target('SI')).toMatchObject({ is: 'unknown', near: expect.arrayContaining(['S1']) });
  });
});
