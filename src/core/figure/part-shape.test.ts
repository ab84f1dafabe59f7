import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import oracle from '../../../test/oracles/figure/shape-volumes.json' with { type: 'json' };
import { readShape, SHAPE_FORMS, SHAPE_SIZES, shapeInWords } from './part-shape.ts';
import { ballOfMm, pieceCm3, surfaceCm2, volumeCm3 } from './shape-volume.ts';

const volumeOf = (text: string) => volumeCm3(readShape(text));

describe('a part of a figure', () => {
  it('takes as much clay as the trade reckons', () => {
    expect(volumeOf('ball 25 mm')).toBeCloseTo(8.181, 3);
    expect(volumeOf('cone 8 x 60')).toBeCloseTo(1.005, 3);
    expect(volumeOf('leaf 30 x 12 x 1')).toBeCloseTo(0.24, 3);
    // A 50 mm ball whose skin is 6 mm thick.
    expect(volumeOf('skin over a ball 6 x 38')).toBeCloseTo(36.7, 1);
    // 57 g at 1.4 g/cm3 before waste.
    expect(57 / 1.4).toBeCloseTo(40.7, 1);
    expect(Math.floor(57 / 1.4 / (volumeOf('leaf 30 x 12 x 1') ?? Number.NaN))).toBe(169);
    // A 3 mm cutter in a sheet of 2.5 mm.
    expect(pieceCm3({ acrossMm: 3, sheetMm: 2.5 })).toBeCloseTo(0.018, 3);
  });

  it('is within half a percent of a mesh that a geometry library integrated', () => {
    expect(oracle.volumes.length).toBeGreaterThan(12);
    for (const { shape, cm3 } of oracle.volumes) {
      const own = volumeOf(shape) ?? Number.NaN;
      expect(Math.abs(own / cm3 - 1), shape).toBeLessThan(0.005);
    }
  });

  it('has the surface of the mesh, where all of it is outside', () => {
    const solid = /^(?:ball|log|cone|horn|teardrop|coil)/;
    for (const { shape, surfaceCm2: wanted } of oracle.volumes) {
      // The mesh of a coil has two ends more.
      if (!solid.test(shape)) continue;
      expect(Math.abs((surfaceCm2(readShape(shape)) ?? 0) / wanted - 1), shape).toBeLessThan(0.02);
    }
    // Ball of 50 mm.
    expect(surfaceCm2(readShape('ball 50'))).toBeCloseTo(78.5, 1);
  });

  it('reads back from its words, whatever the shape', () => {
    const shapes = fc.constantFrom(...SHAPE_FORMS).chain((form) =>
      fc.tuple(
        fc.constant(form),
        fc.array(fc.integer({ min: 5, max: 90_000 }), {
          minLength: SHAPE_SIZES[form].length,
          maxLength: SHAPE_SIZES[form].length,
        }),
      ),
    );
    fc.assert(
      fc.property(shapes, ([form, sizes]) => {
        const falling = sizes.map((size) => size / 100).toSorted((a, b) => b - a);
        // Sizes that fall make no teardrop and no coil.
        const fitting = form === 'teardrop' || form === 'coil' ? falling.toReversed() : falling;
        const shape = readShape(`${form} ${fitting.join(' x ')}`);
        expect(readShape(shapeInWords(shape))).toEqual(shape);
      }),
      { seed: 19, numRuns: 400 },
    );
  });

  it('may have thin edges, sizes in any order and a coil without its pitch', () => {
    expect(volumeOf('feathered leaf 1 x 12 x 30 mm')).toBeCloseTo(0.7 * 0.24, 6);
    expect(readShape('coil 2 x 10 x 5')).toEqual(readShape('coil 2 x 10 x 5 x 2'));
    expect(volumeOf('amount 12 g')).toBeUndefined();
    expect(ballOfMm(volumeOf('ball 25') ?? 0)).toBeCloseTo(25, 9);
  });

  it('is refused in plain words', () => {
    expect(() => readShape('ball -3')).toThrow('The diameter of a ball cannot be -3.');
    expect(() => readShape('leaf 30 x 12')).toThrow('A leaf has 3 sizes');
    expect(() => readShape('wing 3 x 4')).toThrow('is not a shape with sizes');
    expect(() => readShape('horn 2 x 8 x 60')).toThrow('thicker at its tip');
    expect(() => readShape('feathered ball 8')).toThrow('is not a shape with sizes');
    expect(() => readShape('teardrop 30 x 10')).toThrow('shorter than its round end');
  });
});
