import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPigments } from '../../../tools/pigments.ts';
import { BANDS } from '../colour/grid.ts';
import { wetFilmUm } from '../optics/coats.ts';
import {
  afterCoats,
  COAT_WET_UM,
  coatsToHide,
  contrastAfter,
  FULL_HIDING,
  MOST_COATS,
  paintFrom,
  paintMl,
  paintOfColour,
} from './paint.ts';
import { readShape } from './part-shape.ts';
import { surfaceCm2 } from './shape-volume.ts';

const ground = (value: number) => new Float64Array(BANDS).fill(value);
const paints = readPigments().map((pigment) => ({ name: pigment.name, paint: paintFrom(pigment) }));
const named = (pattern: RegExp) => paints.filter(({ name }) => pattern.test(name));
const coatsOver = (value: number) => (one: (typeof paints)[number]) => {
  let coats = 1;
  while (coats <= MOST_COATS && !afterCoats(one.paint, ground(value), coats).hides) coats++;
  return coats;
};
const middle = (values: readonly number[]) =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)];

describe('a film of paint', () => {
  it('is 50 µm wet where a litre covers 20 m2', () => {
    expect(wetFilmUm(20)).toBe(50);
    expect(COAT_WET_UM).toBe(wetFilmUm(20));
    expect(() => wetFilmUm(-1)).toThrow('cannot cover');
  });

  it('takes 1.2 ml for three coats on a ball of 50 mm', () => {
    const area = surfaceCm2(readShape('ball 50')) ?? Number.NaN;
    expect(paintMl(area, 3)).toBeCloseTo(1.2, 1);
  });
});

describe('coats that hide a clay', () => {
  it('are few for blacks, earths and whites over mid grey, and more for yellows, reds and oranges', () => {
    const few = named(/black|oxide|umber|sienna|ochre|buff|white/i).map(coatsOver(0.18));
    const many = named(/yellow|red|orange/i).map(coatsOver(0.18));
    expect(Math.max(...few)).toBeLessThanOrEqual(3);
    expect(middle(few)).toBeLessThanOrEqual(2);
    expect(middle(many)).toBeGreaterThanOrEqual(3);
    expect(middle(many)).toBeLessThanOrEqual(5);
  });

  it('are fewer in all with a white undercoat under a yellow, and never more', () => {
    const yellow = named(/hansa yellow opaque/i)[0];
    const found = coatsToHide(yellow.paint, ground(0.05));
    expect(found.undercoats).toBeGreaterThan(0);
    expect(found.coats + found.undercoats).toBeLessThan(coatsOver(0.05)(yellow));
    for (const one of paints) {
      const { coats, undercoats, hides } = coatsToHide(one.paint, ground(0.18));
      if (hides) expect(coats + undercoats).toBeLessThanOrEqual(coatsOver(0.18)(one));
    }
  });

  it('hide the better the more there are, whatever lies under them', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...paints),
        fc.integer({ min: 1, max: 11 }),
        ({ paint }, coats) => {
          expect(contrastAfter(paint, coats + 1)).toBeGreaterThanOrEqual(
            contrastAfter(paint, coats) - 1e-9,
          );
        },
      ),
      { seed: 19, numRuns: 100 },
    );
    const white = named(/titanium white/i)[0].paint;
    expect(contrastAfter(white, 1)).toBeLessThan(FULL_HIDING);
    expect(contrastAfter(white, MOST_COATS)).toBeGreaterThan(FULL_HIDING);
    expect(afterCoats(white, ground(0), 0).dE00).toBeGreaterThan(50);
  });

  it('are known within two for most paints of which only the colour is known', () => {
    const off = paints.map(({ paint }) => {
      const all = (one: typeof paint) => {
        const { coats, undercoats } = coatsToHide(one, ground(0.18));
        return coats + undercoats;
      };
      return Math.abs(all(paint) - all(paintOfColour(paint.masstone)));
    });
    expect(off.filter((coats) => coats <= 2).length / off.length).toBeGreaterThan(0.75);
  });
});
