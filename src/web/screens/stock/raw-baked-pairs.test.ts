import { expect, it } from 'vitest';
import { rawBesideBaked } from './raw-baked-pairs.ts';

const read = (id: string) => ({
  id,
  lab: [50, 0, 0] as [number, number, number],
  readingKind: 'by eye' as const,
});
const ofKelp = { kind: 'block', id: 'kelp' } as const;
const raw = read('raw');
const baked = read('baked');

it('pairs a colour read raw of a block with its baked tile, the newest once', () => {
  const rows = [
    { id: 'new', kind: 'tile', of: ofKelp, baked },
    { id: 'old', kind: 'tile', of: ofKelp, baked },
    { id: 'mixed', kind: 'tile', of: { kind: 'mix', id: 'kelp' }, baked },
    { id: 'kelp', kind: 'block', raw },
  ] as const;
  expect(rawBesideBaked(rows)).toEqual([{ ...rows[0], raw }]);
});

it('leaves a tile its own raw colour, and a block read baked too', () => {
  const own = { id: 't', kind: 'tile', of: ofKelp, raw: read('own'), baked } as const;
  const block = { id: 'kelp', kind: 'block', raw, baked } as const;
  expect(rawBesideBaked([own, block, { id: 'u', kind: 'tile', of: ofKelp, baked }])).toEqual([
    own,
    block,
  ]);
});
