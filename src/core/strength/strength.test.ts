import { describe, expect, it } from 'vitest';
import { seededChance } from '../numeric/seeded-chance.ts';
import type { BendResultRow } from './bend-results.ts';
import { mostFailing } from './exact-bound.ts';
import { leastShare, nextTests, provenFor } from './strength-advice.ts';
import { CLASH_SURE, holdingChance, type Load, strengthBelief } from './strength-belief.ts';

const LOAD: Load = { strain: 0.0135, bulk: 'thin', translucent: 0, powder: 0 };

function row(share: number, strain: number, grade: number, batch = 'one'): BendResultRow {
  return { share, strain, grade, batch, translucent: 0, powder: 0, rankOnly: false };
}

/** Three strips each of five shares, bent by their ends: weak clay breaks, strong clay does not. */
const PLANNED: readonly BendResultRow[] = [
  [1, 0, 0, 0],
  [0.5, 0, 0, 1],
  [0.25, 0, 1, 1],
  [0.12, 1, 2, 3],
  [0, 3, 4, 4],
].flatMap(([share, ...grades]) => grades.map((grade) => row(share, 0.1055, grade)));

describe('the exact bound', () => {
  it('gives the check values', () => {
    expect(mostFailing(0, 10)).toBeCloseTo(0.2589, 4);
    expect(mostFailing(0, 59)).toBeLessThan(0.05);
    expect(mostFailing(0, 58)).toBeGreaterThan(0.05);
    expect(mostFailing(0, 3)).toBeCloseTo(0.632, 3);
    expect(mostFailing(0, 0)).toBe(1);
    expect(mostFailing(4, 4)).toBe(1);
  });

  it('adds up to 5 % of the binomial law', () => {
    // 1 of 12: (1-p)^12 + 12 p (1-p)^11 = 0.05.
    const p = mostFailing(1, 12);
    expect((1 - p) ** 12 + 12 * p * (1 - p) ** 11).toBeCloseTo(0.05, 9);
    expect(() => mostFailing(2, 1)).toThrow('whole numbers');
  });
});

describe('what bend tests say', () => {
  const belief = strengthBelief(PLANNED);

  it('more of the strong line is never weaker, harder bends never hold better', () => {
    const chances = [0, 0.1, 0.2, 0.3, 0.5, 0.8, 1].map(
      (share) => holdingChance(belief, share, { ...LOAD, strain: 0.1 }).chance,
    );
    for (const [i, chance] of chances.entries()) {
      expect(chance).toBeGreaterThanOrEqual(chances[Math.max(0, i - 1)]);
    }
    const strains = [0.01, 0.05, 0.1, 0.3].map(
      (strain) => holdingChance(belief, 0.25, { ...LOAD, strain }).chance,
    );
    expect([...strains].sort((a, b) => b - a)).toEqual(strains);
    expect(chances[0]).toBeLessThan(0.3);
    expect(chances[6]).toBeGreaterThan(0.9);
  });

  it('translucent clay and powder cost strength where their tests say so', () => {
    const poor = strengthBelief([
      ...PLANNED,
      ...[3, 4, 4, 3].map((grade) => ({ ...row(0.5, 0.1055, grade), translucent: 0.6 })),
      ...[2, 3, 3].map((grade) => ({ ...row(0.5, 0.1055, grade), powder: 0.1 })),
    ]);
    const at = (blend: Partial<Load>) =>
      holdingChance(poor, 0.5, { ...LOAD, strain: 0.1, ...blend }).chance;
    expect(at({ translucent: 0.6 })).toBeLessThan(at({}) - 0.3);
    expect(at({ powder: 0.1 })).toBeLessThan(at({}) - 0.1);
  });

  it('counts the results at least as hard beside each chance', () => {
    const { asHard } = holdingChance(belief, 0.25, LOAD);
    // Shares of 0.25 and less, all bent harder than asked: 3 + 1 of 9 held.
    expect(asHard.tests).toBe(9);
    expect(asHard.held).toBe(4);
    expect(asHard.mostFailing).toBeCloseTo(mostFailing(5, 9), 12);
  });

  it('advises a share only where nine cases in ten reach the chance', () => {
    const advice = leastShare(belief, LOAD, 0.9);
    expect(advice.least).toBeGreaterThan(0);
    expect(holdingChance(belief, advice.least!, LOAD).sure).toBeGreaterThanOrEqual(0.9);
    const hard = leastShare(belief, { ...LOAD, strain: 0.9 }, 0.9);
    expect(hard.least).toBeUndefined();
    expect(leastShare(belief, LOAD, 0.99).least ?? 2).toBeGreaterThanOrEqual(advice.least!);
  });

  it('the same tests give the same answer, and no test leaves all open', () => {
    expect(holdingChance(strengthBelief(PLANNED), 0.3, LOAD)).toEqual(
      holdingChance(belief, 0.3, LOAD),
    );
    const nothing = strengthBelief([]);
    const chance = holdingChance(nothing, 0.5, LOAD);
    expect(provenFor(nothing, chance, 0.9)).toBe('unproven');
    expect(chance.asHard).toEqual({ held: 0, tests: 0, mostFailing: 1 });
    expect(chance.high - chance.low).toBeGreaterThan(0.5);
  });

  it('names two tests to make, within the range of the line', () => {
    const next = nextTests(strengthBelief(PLANNED.slice(0, 3)), LOAD, 0.9);
    expect(next).toHaveLength(2);
    for (const { share, strain } of next) {
      expect(share).toBeGreaterThanOrEqual(0);
      expect(share).toBeLessThanOrEqual(1);
      expect(strain / LOAD.strain).toBeGreaterThanOrEqual(0.59);
    }
  });

  it('a pinch counts by its rank alone', () => {
    const pinched = (grades: readonly number[]) =>
      grades.map((grade, i) => ({ ...row(i / 2, 1, grade), rankOnly: true }));
    const fell = strengthBelief(pinched([4, 2, 0]));
    const level = strengthBelief(pinched([0, 0, 0]));
    const gain = (one: typeof fell) =>
      holdingChance(one, 1, { ...LOAD, strain: 0.1 }).chance -
      holdingChance(one, 0, { ...LOAD, strain: 0.1 }).chance;
    expect(gain(fell)).toBeGreaterThan(gain(level));
    expect(holdingChance(fell, 1, LOAD).asHard.tests).toBe(0);
  });
});

describe('lines that do not get on', () => {
  /** Both lines hold alone; half and half breaks, at several strains. */
  const clash = [0.02, 0.05, 0.1].flatMap((strain) => [
    ...[0, 1].flatMap((share) => [0, 0, 1].map((grade) => row(share, strain, grade))),
    ...[0.25, 0.5, 0.75].flatMap((share) => [3, 4].map((grade) => row(share, strain, grade))),
  ]);

  it('are found by tests at several strains', () => {
    const belief = strengthBelief(clash);
    expect(belief.clashChance).toBeGreaterThan(CLASH_SURE);
    const at = (share: number) => holdingChance(belief, share, { ...LOAD, strain: 0.05 }).chance;
    expect(at(0.5)).toBeLessThan(at(0) - 0.3);
  });

  it('are not seen in tests that rise', () => {
    expect(strengthBelief(PLANNED).clashChance).toBeLessThan(0.5);
  });
});

describe('the trade facts', () => {
  it('small shares of the strong line still help, where they are tested', () => {
    const { normal } = seededChance(5);
    // A curve that gains half of its rise by one eighth.
    const rows = [0, 0.125, 0.5, 1].flatMap((share) =>
      Array.from({ length: 6 }, (_, i) => {
        const off =
          Math.log(0.1) - Math.log(0.04) - 1.4 * Math.min(1, 0.5 + share) * (share > 0 ? 1 : 0);
        const grade = Math.max(0, Math.min(4, Math.round(1.5 + (off + 0.2 * normal()) / 0.4)));
        return row(share, 0.1, grade, `bake ${i % 2}`);
      }),
    );
    const belief = strengthBelief(rows);
    const at = (share: number) => holdingChance(belief, share, { ...LOAD, strain: 0.07 }).chance;
    expect(at(0.125)).toBeGreaterThan(at(0) + 0.3);
  });
});
