import { describe, expect, it } from 'vitest';
import { mean, randomFrom } from '../../../bench/random.ts';
import { numbers } from '../../../test/oracles/colour/read-oracle.ts';
import { readPhotoPatches } from '../../../test/oracles/photo/photo-patches.ts';
import { plainLeaveOneOut } from '../../../test/oracles/photo/plain-three-by-three.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { xyzFromLab } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import type { SeenPatch } from './camera-equations.ts';
import { CHART_VALUES, type ChartEdition, PATCH_NAMES } from './chart-values.ts';
import { correctedLab, correctionFrom } from './correction.ts';
import { correctionCovariance } from './correction-covariance.ts';
import { srgbEncoded } from './encoding.ts';

const white = colourWeights('D50', 2).white;
const EDITIONS: readonly ChartEdition[] = ['before 2014', 'from 2014'];
/** A finger shades them. */
const SHADED = new Set(['photo_hand.jpg A1', 'photo_hand.jpg A2']);

/** Real photos as measured; the edition of their charts is not known, so both are tried. */
const photos = [...new Set(readPhotoPatches().map((row) => row.photo))].map((photo) => {
  const rows = readPhotoPatches().filter(
    (row) => row.photo === photo && !SHADED.has(`${photo} ${row.patch}`),
  );
  const linear = photo !== 'photo_hand.jpg';
  return {
    photo,
    seen: (edition: ChartEdition): SeenPatch[] =>
      rows.map((row) => {
        const index = PATCH_NAMES.indexOf(row.patch);
        const code = numbers(row, 'R', 'G', 'B').map((v) =>
          linear ? srgbEncoded(v / 255) : v / 255,
        );
        return {
          code: code as unknown as SeenPatch['code'],
          light: [1, 1, 1],
          u: ((index % 6) - 2.5) / 3,
          v: (Math.floor(index / 6) - 1.5) / 2,
          lab: CHART_VALUES[edition][index],
        };
      }),
    // The rival decodes what is encoded by 2.2, as its source does.
    light: rows.map((row) =>
      numbers(row, 'R', 'G', 'B').map((v) => (linear ? v / 255 : (v / 255) ** 2.2)),
    ),
  };
});

describe('correctionFrom on four real photos, each patch predicted from the others', () => {
  const rows = EDITIONS.flatMap((edition) =>
    photos.map(({ photo, seen, light }) => {
      const patches = seen(edition);
      const ours = correctionFrom(patches, 0.05).heldOut.mean;
      const plain = mean(
        plainLeaveOneOut(
          light,
          patches.map((p) => p.lab),
        ),
      );
      return { edition, photo, ours, plain };
    }),
  );

  it.each(rows)(
    '$photo, chart $edition: not worse than a plain 3 x 3 in XYZ',
    ({ ours, plain }) => {
      expect(ours).toBeLessThanOrEqual(plain);
    },
  );

  it.each(EDITIONS)('chart %s: at least a tenth lower on average', (edition) => {
    const mine = rows.filter((row) => row.edition === edition);
    expect(mean(mine.map((r) => r.ours))).toBeLessThan(0.9 * mean(mine.map((r) => r.plain)));
  });
});

/** A camera with known numbers: a matrix, no noise. */
function exactPatches(exposure: number): SeenPatch[] {
  const back = [
    [2.9, -1.4, -0.3],
    [-0.9, 1.9, 0.05],
    [0.08, -0.25, 1.3],
  ];
  return CHART_VALUES['before 2014'].map((lab, index) => {
    const xyz = xyzFromLab(lab, white);
    const code = back.map((row) =>
      srgbEncoded(exposure * row.reduce((sum, v, i) => sum + v * xyz[i], 0)),
    );
    return {
      code: code as unknown as SeenPatch['code'],
      light: [1, 1, 1],
      u: ((index % 6) - 2.5) / 3,
      v: (Math.floor(index / 6) - 1.5) / 2,
      lab,
    };
  });
}

describe('correctionFrom', () => {
  it('gives back what an exact linear camera saw', () => {
    const patches = exactPatches(0.7);
    const correction = correctionFrom(patches, 0.01);
    expect(correction.heldOut.worst).toBeLessThan(0.05);
    for (const patch of patches) {
      expect(deltaE2000(correctedLab(correction, patch), patch.lab)).toBeLessThan(0.02);
    }
  });

  it('sees the same colour when light and patches get lighter together', () => {
    const correction = correctionFrom(exactPatches(0.7), 0.01);
    const [patch] = exactPatches(0.7);
    const half = exactPatches(0.35)[0];
    const got = correctedLab(correction, { ...half, light: [0.5, 0.5, 0.5] });
    expect(deltaE2000(got, correctedLab(correction, patch))).toBeLessThan(0.05);
  });

  it('is more certain of the difference of two similar colours than of either', () => {
    const [{ seen }] = photos;
    const patches = seen('before 2014');
    const correction = correctionFrom(patches, 0.05);
    const one = patches[7];
    const near = { ...one, code: one.code.map((v) => v * 1.01) as unknown as SeenPatch['code'] };
    const c = correctionCovariance(correction, [one, near]);
    const trace = (i: number, j: number) =>
      [0, 1, 2].reduce((sum, r) => sum + c[(3 * i + r) * 6 + 3 * j + r], 0);
    expect(trace(0, 0) + trace(1, 1) - 2 * trace(0, 1)).toBeLessThan(
      0.7 * (trace(0, 0) + trace(1, 1)),
    );
    for (let i = 0; i < 6; i++) for (let j = 0; j < 6; j++) expect(c[6 * i + j]).toBe(c[6 * j + i]);
  });

  it('is more certain of lightness than of hue where held-out patches are', () => {
    // Hue and chroma of every patch vary, lightness is exact.
    const random = randomFrom(8);
    const patches = exactPatches(0.7).map((patch): SeenPatch => {
      const [l, a, b] = patch.lab;
      return { ...patch, lab: [l, a + 3 * random.normal(), b + 3 * random.normal()] };
    });
    const correction = correctionFrom(patches, 0.01);
    const [light, chroma, hue] = correction.residualSpread;
    expect(light).toBeLessThan(0.6 * Math.min(chroma, hue));
    const c = correctionCovariance(correction, [patches[3]]);
    expect(c[0]).toBeLessThan(0.36 * Math.min(c[4], c[8]));
  });
});
