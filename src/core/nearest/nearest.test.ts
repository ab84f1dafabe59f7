import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { type NearestOptions, nearestBook } from './nearest.ts';

/** Every colour compared, then sorted. */
function sorted(labs: readonly Lab[], aim: Lab, { top, within, allowed }: NearestOptions) {
  return labs
    .map((lab, index) => ({ index, dE00: deltaE2000(aim, lab) }))
    .filter(
      ({ index, dE00 }) => allowed?.[index] !== 0 && dE00 <= (within ?? Number.POSITIVE_INFINITY),
    )
    .sort((one, other) => one.dE00 - other.dE00 || one.index - other.index)
    .slice(0, top);
}

/** Colours as mixes are: many dark and greyish ones, few strong ones, some of them blue. */
function drawn(count: number, seed: number): Lab[] {
  const { uniform, normal } = seededChance(seed);
  return Array.from({ length: count }, (): Lab => {
    const hue = 2 * Math.PI * uniform();
    const chroma = Math.abs(uniform() < 0.5 ? 8 * normal() : 100 * uniform());
    return [100 * uniform() ** 2, chroma * Math.cos(hue), chroma * Math.sin(hue)];
  });
}

const anyLab: fc.Arbitrary<Lab> = fc.tuple(
  fc.integer({ min: 0, max: 100 }),
  fc.integer({ min: -150, max: 150 }),
  fc.integer({ min: -150, max: 150 }),
);

describe('the closest colours of a book', () => {
  it('are those of comparing all, in a book of 20,000', () => {
    const labs = drawn(20_000, 1);
    const book = nearestBook(labs.flat());
    for (const aim of drawn(60, 2)) {
      // Inside, and pushed past anything in the book.
      for (const at of [aim, [aim[0], 1.6 * aim[1], 1.6 * aim[2]] as const]) {
        expect(book.nearest(at, { top: 10 })).toEqual(sorted(labs, at, { top: 10 }));
      }
    }
  });

  it('are those of comparing all for any small book, flags, bound and number', () => {
    fc.assert(
      fc.property(
        fc.array(anyLab, { minLength: 1, maxLength: 200 }),
        anyLab,
        fc.integer({ min: 1, max: 30 }),
        fc.option(fc.integer({ min: 0, max: 40 }), { nil: undefined }),
        fc.option(fc.infiniteStream(fc.constantFrom(0, 1)), { nil: undefined }),
        (labs, aim, top, within, flags) => {
          const options = {
            top,
            ...(within === undefined ? {} : { within }),
            ...(flags === undefined
              ? {}
              : { allowed: Uint8Array.from(labs, () => flags.next().value) }),
          };
          expect(nearestBook(labs.flat()).nearest(aim, options)).toEqual(
            sorted(labs, aim, options),
          );
        },
      ),
      { numRuns: 2000, seed: 21 },
    );
  });

  it('are those of comparing all where flags leave few, many, or only far ones', () => {
    const labs = drawn(40_000, 6);
    const book = nearestBook(labs.flat());
    for (const allowed of [
      labs.map(([, a]) => a < -5),
      labs.map(([, , b]) => b > 0),
      labs.map((_, i) => i % 97 === 0),
      labs.map(() => false),
    ]) {
      const flags = Uint8Array.from(allowed, Number);
      for (const aim of drawn(12, 7)) {
        for (const options of [
          { top: 10, allowed: flags },
          { top: 3000, allowed: flags, within: 20 },
        ]) {
          expect(book.nearest(aim, options)).toEqual(sorted(labs, aim, options));
        }
      }
    }
  });

  it('come in the order of the book where they are equally close', () => {
    const grey: Lab = [50, 0, 0];
    const labs: Lab[] = [...Array<Lab>(300).fill([50, 3, 0]), grey, ...Array<Lab>(300).fill(grey)];
    const near = nearestBook(labs.flat()).nearest(grey, { top: 303 });
    expect(near.slice(0, 301).map(({ index }) => index)).toEqual(
      Array.from({ length: 301 }, (_, i) => 300 + i),
    );
    expect(near.slice(301).map(({ index }) => index)).toEqual([0, 1]);
  });

  it('reach the bound itself', () => {
    const labs: Lab[] = [
      [50, 2, 1],
      [60, -5, 9],
    ];
    const dE00 = deltaE2000([50, 0, 0], labs[1]);
    const book = nearestBook(labs.flat());
    expect(book.nearest([50, 0, 0], { top: 9, within: dE00 })).toHaveLength(2);
    expect(book.nearest([50, 0, 0], { top: 9, within: dE00 - 1e-12 })).toHaveLength(1);
    expect(book.nearest([50, 0, 0], { top: 9, within: 0 })).toEqual([]);
  });

  it('follow changes and additions, from an empty book on', () => {
    const { uniform } = seededChance(5);
    const book = nearestBook([]);
    const labs: Lab[] = [];
    expect(book.nearest([50, 0, 0], { top: 3 })).toEqual([]);
    const colours = drawn(3000, 3);
    const aims = drawn(12, 4);
    colours.forEach((lab, i) => {
      // Half of them replace an older one; runs of one colour fill a leaf with equals.
      const index = i % 2 === 0 ? labs.length : Math.floor(uniform() * labs.length);
      const own: Lab = i % 7 === 0 ? [30, 5, -20] : lab;
      book.set(index, own);
      labs[index] = own;
      if (i % 250 !== 0) return;
      for (const aim of aims) {
        expect(book.nearest(aim, { top: 5 })).toEqual(sorted(labs, aim, { top: 5 }));
      }
    });
    expect(book.size).toBe(labs.length);
  });

  it.each([
    ['half a colour', () => nearestBook([50, 0])],
    ['a colour that is not a number', () => nearestBook([50, Number.NaN, 0])],
    [
      'an aim that is not a number',
      () => nearestBook([50, 0, 0]).nearest([50, 0, Number.NaN], { top: 1 }),
    ],
    ['none asked for', () => nearestBook([50, 0, 0]).nearest([50, 0, 0], { top: 0 })],
    ['half a one asked for', () => nearestBook([50, 0, 0]).nearest([50, 0, 0], { top: 1.5 })],
    [
      'flags of another book',
      () => nearestBook([50, 0, 0]).nearest([50, 0, 0], { top: 1, allowed: new Uint8Array(2) }),
    ],
    ['a place past the end', () => nearestBook([50, 0, 0]).set(2, [50, 0, 0])],
    [
      'a change to something that is not a colour',
      () => nearestBook([50, 0, 0]).set(0, [50, 0, Number.POSITIVE_INFINITY]),
    ],
  ])('refuses %s', (_, call) => {
    expect(call).toThrow(AppError);
  });

  it('keeps a colour whose change it refused', () => {
    const book = nearestBook([50, 0, 0]);
    expect(() => book.set(0, [Number.NaN, 0, 0])).toThrow(AppError);
    expect(book.nearest([50, 0, 0], { top: 1 })).toEqual([{ index: 0, dE00: 0 }]);
  });
});
