import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { reordered, type TileWithName, type UncertainColour, weighNames } from './weigh-names.ts';

const ONE = [1, 0, 0, 0, 1, 0, 0, 0, 1];
const colour = (lab: Lab): UncertainColour => ({ lab, covariance: ONE });
/** Six colours far from each other, and one close to the first. */
const COLOURS = [
  [60, 40, 20],
  [40, -30, 10],
  [70, 5, 60],
  [30, 10, -40],
  [80, -5, 5],
  [50, 0, -10],
  [61, 39, 21],
].map((lab) => colour(lab as unknown as Lab));
const [first, , , , , , likeFirst] = COLOURS as [UncertainColour, ...UncertainColour[]];

function tray(named: readonly (UncertainColour | undefined)[], read = COLOURS): TileWithName[] {
  return read.map((one, i) => {
    const name = named[i];
    return name === undefined ? { read: one } : { read: one, named: name };
  });
}

describe('names of a tray', () => {
  it('are left alone where every tile has the colour of its name, or none is known', () => {
    const { misses, better } = weighNames(tray(COLOURS));
    expect(better).toBeUndefined();
    expect(misses.every((miss) => miss !== undefined && !miss.isDoubtful)).toBe(true);
    expect(weighNames(tray([]))).toEqual({ misses: COLOURS.map(() => undefined) });
    expect(weighNames([])).toEqual({ misses: [] });
  });

  it('one tile too early after a name that was left out: put back, with a tile without a name', () => {
    const early = [...COLOURS.slice(0, 2), ...COLOURS.slice(3), undefined];
    const { misses, better } = weighNames(tray(early));
    expect(better).toEqual({ kind: 'shift', from: 2, by: 1 });
    expect(misses[2]).toMatchObject({ isDoubtful: true });
    expect(reordered(early, better!, undefined)).toEqual(
      COLOURS.map((one, i) => (i === 2 ? undefined : one)),
    );
  });

  it('one tile too late after a name that was written twice: put back', () => {
    const late = [...COLOURS.slice(0, 3), COLOURS[2], ...COLOURS.slice(3)].slice(0, 7);
    const { better } = weighNames(tray(late));
    expect(better).toMatchObject({ kind: 'shift', by: -1 });
    const back = reordered(late, better!, undefined);
    expect(back.slice(0, 6)).toEqual(COLOURS.slice(0, 6));
    expect(back[6]).toBeUndefined();
  });

  it('exchanged: said where the two differ, and not where they are alike', () => {
    const exchanged = [...COLOURS];
    [exchanged[1], exchanged[4]] = [COLOURS[4]!, COLOURS[1]!];
    const { better } = weighNames(tray(exchanged));
    expect(better).toEqual({ kind: 'exchange', one: 1, other: 4 });
    expect(reordered(exchanged, better!, undefined)).toEqual(COLOURS);
    const alike = [likeFirst!, ...COLOURS.slice(1, 6), first];
    expect(weighNames(tray(alike)).better).toBeUndefined();
  });

  it('a single wrong name is asked about, and no other order is offered', () => {
    const wrong = [colour([20, 30, 0]), ...COLOURS.slice(1)];
    const { misses, better } = weighNames(tray(wrong));
    expect(better).toBeUndefined();
    expect(misses.map((miss) => miss?.isDoubtful)).toEqual([true, ...Array(6).fill(false)]);
    expect(misses[0]!.dE00).toBeGreaterThan(30);
  });

  it('a wide ± of the name excuses a large step', () => {
    const wide = { lab: [20, 30, 0] as Lab, covariance: ONE.map((v) => 400 * v) };
    expect(weighNames(tray([wide])).misses[0]).toMatchObject({ isDoubtful: false });
  });
});
