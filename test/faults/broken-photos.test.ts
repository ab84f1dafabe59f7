import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import { AppError } from '../../src/core/errors.ts';
import { CHART_VALUES } from '../../src/core/photo/chart-values.ts';
import { readPhoto } from '../../src/core/photo/read-photo.ts';
import { PAPERS, traySheetLayout } from '../../src/core/photo/sheet-layout.ts';
import { decodePhoto } from '../../src/imaging/decode-photo.ts';
import { brokenPhotos } from './broken-photos.ts';

/** bench/broken-photos.ts tries 2,000 of them. */
const COUNT = 120;

describe('broken photos', () => {
  it(`are refused in words, or read: ${COUNT} of them`, async () => {
    let refused = 0;
    for (const { bytes, what } of await brokenPhotos(randomFrom(11), COUNT)) {
      try {
        const { picture } = await decodePhoto(bytes, what);
        expect(picture.codes.length).toBe(picture.width * picture.height * 3);
      } catch (thrown) {
        expect(thrown, what).toBeInstanceOf(AppError);
        expect((thrown as AppError).kind, what).toBe('bad-input');
        refused++;
      }
    }
    expect(refused).toBeGreaterThan(COUNT / 4);
    expect(refused).toBeLessThan(COUNT);
  });
});

describe('photos of something else', () => {
  const pictures: readonly [string, (x: number, y: number, c: number) => number][] = [
    // Just off grey, which is refused before any search.
    ['all but black', (_x, _y, c) => c],
    ['all but white', (_x, _y, c) => 255 - c],
    ['noise', (x, y, c) => (x * 7919 + y * 104729 + c * 1299709 + ((x * y) % 251) * 31) % 256],
    ['a chessboard', (x, y, c) => (((x >> 5) + (y >> 5)) % 2 === 0 ? 20 : 235) + c],
    ['coloured squares', (x, y, c) => (((x >> 5) * 37 + (y >> 5) * 91 + c * 57) * 13) % 256],
    ['a ramp', (x, y, c) => [x >> 2, y >> 2, (x + y) >> 3][c]],
  ];

  it.each(pictures)('%s: no sheet and no chart is found', async (_, at) => {
    const [width, height] = [800, 600];
    const codes = new Uint8Array(width * height * 3);
    for (let i = 0; i < codes.length; i++) {
      codes[i] = at(Math.floor(i / 3) % width, Math.floor(i / 3 / width), i % 3);
    }
    const png = await sharp(codes, { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
    const { picture, colours } = await decodePhoto(new Uint8Array(png), 'else.png');
    const read = readPhoto({
      picture,
      colours,
      layouts: PAPERS.map(traySheetLayout),
      chart: CHART_VALUES['from 2014'],
    });
    expect(read.sheet).toBeUndefined();
    expect(read.chart).toBeUndefined();
    expect(read.tiles).toEqual([]);
    expect(read.notes.length).toBe(2);
  });
});
