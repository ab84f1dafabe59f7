import { describe, expect, it } from 'vitest';
import { BANDS } from '../colour/grid.ts';
import { prepareTiles } from './prepare.ts';
import { LATENTS } from './prior.ts';
import type { TileReading } from './tile-reading.ts';

function filmOn(backing: number | Float64Array): TileReading {
  return {
    tile: 'T1',
    parts: [{ clay: 'Saltmarsh clear', share: 1 }],
    colour: { kind: 'lab', lab: [70, 2, 8], light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'included',
    film: { thicknessMm: 0.5, backing },
    partsSpread: 0,
  };
}

const backingSeen = (reading: TileReading) =>
  prepareTiles([reading], LATENTS).tiles[0].film!.backing;

describe('the backing of a film', () => {
  it('is the same at every band where it is one number', () => {
    expect([...backingSeen(filmOn(0.8))]).toEqual(new Array(BANDS).fill(0.8));
  });

  it('keeps its own colour where it has one, apart from the array it was given in', () => {
    const card = Float64Array.from({ length: BANDS }, (_, band) => 0.1 + band / 50);
    const seen = backingSeen(filmOn(card));
    expect([...seen]).toEqual([...card]);
    card[0] = 1;
    expect(seen[0]).toBe(0.1);
  });

  it('is refused, naming the tile, where it has another number of bands', () => {
    expect(() => backingSeen(filmOn(new Float64Array(31)))).toThrow(
      /Tile T1: its backing has 31 bands/,
    );
  });
});
