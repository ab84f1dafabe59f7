import { type ColorSpace, P3, sRGB, to, XYZ_D50 } from 'colorjs.io/fn';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { displayP3Profile } from '../../test/studio-camera/photograph.ts';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded } from '../core/photo/encoding.ts';
import { readProfile } from './icc-profile.ts';

const CODES = [
  [0, 0, 0],
  [255, 255, 255],
  [138, 59, 44],
  [12, 200, 90],
  [250, 180, 3],
] as const;

const xyzD50 = (space: ColorSpace, [r, g, b]: readonly [number, number, number]) =>
  to({ space, coords: [r / 255, g / 255, b / 255], alpha: 1 }, XYZ_D50);

describe('readProfile', () => {
  it('reads Display P3 as in CSS Color 4', async () => {
    const { colour } = readProfile(await displayP3Profile(), 255);
    expect(colour).toBeDefined();
    for (const rgb of CODES) {
      const light = rgb.map((code, c) => colour!.curves[c][code]);
      const known = xyzD50(P3, rgb);
      for (let r = 0; r < 3; r++) {
        const got = light.reduce((sum, v, c) => sum + colour!.toXyz[3 * r + c] * v, 0);
        // The library's profile is a compact one, whose curve is a short table: off by a thousandth.
        expect(Math.abs(got - (known.coords[r] ?? 0))).toBeLessThan(0.0015);
      }
    }
  });

  it('never throws on damaged bytes', async () => {
    const good = await displayP3Profile();
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { minLength: 1, maxLength: 40 }),
        fc.nat(good.length),
        (changes, length) => {
          const bytes = good.slice(0, length);
          for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
          const { colour } = readProfile(bytes, 255);
          for (const curve of colour?.curves ?? []) {
            expect(curve.every(Number.isFinite)).toBe(true);
          }
        },
      ),
    );
  });
});

describe('plain sRGB', () => {
  it('goes to XYZ under D50 as in CSS Color 4', () => {
    const table = curveTable(255, srgbDecoded);
    for (const rgb of CODES) {
      const known = xyzD50(sRGB, rgb);
      for (let r = 0; r < 3; r++) {
        const got = rgb.reduce<number>(
          (sum, code, c) => sum + SRGB_TO_XYZ_D50[3 * r + c] * table[code],
          0,
        );
        expect(got).toBeCloseTo(known.coords[r] ?? 0, 5);
      }
    }
  });
});
