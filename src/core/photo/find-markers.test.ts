import aruco from 'js-aruco2';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { render } from '../../../test/studio-camera/render.ts';
import { randomScene } from '../../../test/studio-camera/scene.ts';
import { findMarkers } from './find-markers.ts';
import { MARKER_CODES } from './marker-codes.ts';
import { smallPicture } from './picture.ts';
import { PAPERS, traySheetLayout } from './sheet-layout.ts';

const bitsOf = (code: number) =>
  Array.from({ length: 36 }, (_, i) => Math.floor(code / 2 ** (35 - i)) % 2);
const turned = (bits: readonly number[]) =>
  bits.map((_, i) => bits[(i % 6) * 6 + 5 - Math.floor(i / 6)]);

describe('MARKER_CODES', () => {
  it('are the first 64 of the open dictionary 36h12, as another library has it', () => {
    expect(MARKER_CODES).toEqual(aruco.AR.DICTIONARIES.ARUCO_MIP_36h12.codeList.slice(0, 64));
  });

  it('differ in at least 12 cells in any turn, and from their own turns', () => {
    const all = MARKER_CODES.map(bitsOf);
    let least = 36;
    all.forEach((one, i) => {
      let other = one;
      for (let turn = 0; turn < 4; turn++) {
        all.forEach((bits, j) => {
          if (i === j && turn === 0) return;
          least = Math.min(least, bits.filter((b, k) => b !== other[k]).length);
        });
        other = turned(other);
      }
    });
    expect(least).toBeGreaterThanOrEqual(12);
  });

  it('are used once each by the two sheets', () => {
    const ids = PAPERS.flatMap((paper) => traySheetLayout(paper).markers.map(({ id }) => id));
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('findMarkers', () => {
  it.each([7, 30])('agrees with an independent reader of markers on scene %i', (seed) => {
    const random = randomFrom(seed);
    const scene = randomScene(random, 'D65');
    const { codes, width, height } = render(scene, random);
    const ours = findMarkers(smallPicture({ width, height, codes }, 1600));
    const top = codes instanceof Uint8Array ? 255 : 65535;
    const data = new Uint8ClampedArray(width * height * 4).fill(255);
    for (let i = 0; i < width * height; i++) {
      for (let c = 0; c < 3; c++) data[4 * i + c] = (255 * codes[3 * i + c]) / top;
    }
    const theirs = new aruco.AR.Detector({
      dictionaryName: 'ARUCO_MIP_36h12',
      maxHammingDistance: 3,
    }).detect({ width, height, data });
    const ids = new Set(scene.layout.markers.map(({ id }) => id));
    const both = ours.filter(({ id }) => theirs.some((t) => t.id === id));
    expect(ours.every(({ id }) => ids.has(id))).toBe(true);
    expect(both.length).toBeGreaterThanOrEqual(5);
    for (const { id, corners } of both) {
      const other = theirs.find((t) => t.id === id)!.corners;
      corners.forEach(([x, y], k) => {
        // Theirs are whole pixels of an outline: about one off, two where blur is strong.
        expect(Math.hypot(x - other[k].x, y - other[k].y)).toBeLessThan(3);
      });
    }
  });
});
