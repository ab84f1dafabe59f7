import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { countsOf, wholeShares } from './batch-counts.ts';
import { type BatchesAsked, PRE_MIX, planBatches } from './batches.ts';

const CLAYS = ['Kelp', 'Samphire', 'Foam', 'Mussel'];
const LIGHTNESS: Readonly<Record<string, number>> = {
  Kelp: 40,
  Samphire: 60,
  Foam: 95,
  Mussel: 12,
};

/** A colour that black moves five times as far as its share: enough to tell strong clays from weak ones. */
function colourOf(volumes: ReadonlyMap<string, number>): Lab {
  let sum = 0;
  let weight = 0;
  for (const [clay, cm3] of volumes) {
    const strength = clay === 'Mussel' ? 5 : 1;
    sum += strength * cm3 * (LIGHTNESS[clay] ?? 0);
    weight += strength * cm3;
  }
  return [sum / weight, 0, 0];
}

function batches(asked: Partial<BatchesAsked> & Pick<BatchesAsked, 'colours' | 'needs'>) {
  const found = planBatches({
    isClay: (name) => CLAYS.includes(name),
    densityOf: () => 1.4,
    colourOf,
    fewest: 4,
    ...asked,
  });
  if (found.status !== 'planned') throw new Error(found.status);
  return found.batches;
}

const mix = (...parts: readonly (readonly [string, number])[]) => ({
  basis: 'volume' as const,
  parts: parts.map(([clay, n]) => ({ clay, parts: n })),
});

describe('batches of a figure', () => {
  it('are whole pieces that keep to the recipe and give enough', () => {
    const colours = new Map([['Moss', mix(['Kelp', 4], ['Samphire', 2], ['Foam', 1])]]);
    const [batch] = batches({ colours, needs: new Map([['Moss', 32.9]]), pieceCm3: 1.2 });
    expect(batch.parts).toEqual([
      { of: 'Kelp', pieces: 16 },
      { of: 'Samphire', pieces: 8 },
      { of: 'Foam', pieces: 4 },
    ]);
    expect(batch.madeCm3).toBeCloseTo(33.6, 9);
    expect(batch.massG).toBeCloseTo(1.4 * 33.6, 9);
    expect(batch.roundingDE00).toBeCloseTo(0, 9);
  });

  it('give enough for every need, whatever the recipe, the cutter and the need', () => {
    const recipe = fc.uniqueArray(
      fc.tuple(fc.constantFrom(...CLAYS), fc.integer({ min: 1, max: 30 })),
      { minLength: 1, maxLength: 4, selector: ([clay]) => clay },
    );
    fc.assert(
      fc.property(
        recipe,
        fc.double({ min: 0.05, max: 300, noNaN: true }),
        fc.double({ min: 0.02, max: 3, noNaN: true }),
        (parts, need, pieceCm3) => {
          const found = batches({
            colours: new Map([['C', mix(...parts)]]),
            needs: new Map([['C', need]]),
            pieceCm3,
          });
          for (const { parts: cut, madeCm3, neededCm3 } of found) {
            expect(madeCm3).toBeGreaterThanOrEqual(neededCm3 - 1e-9);
            expect(cut.every(({ pieces }) => Number.isInteger(pieces) && pieces > 0)).toBe(true);
          }
          expect(found.at(-1)?.neededCm3).toBe(need);
        },
      ),
      { seed: 19, numRuns: 300 },
    );
  });

  it('pre-mix a strong clay of which there would be too few pieces', () => {
    const colours = new Map([['Grey', mix(['Foam', 30], ['Mussel', 1])]]);
    const found = batches({ colours, needs: new Map([['Grey', 10]]), pieceCm3: 1 });
    expect(found.map(({ kind }) => kind)).toEqual(['pre-mix', 'colour']);
    const [preMix, grey] = found;
    expect(preMix?.strongest).toBe('Mussel');
    expect(grey?.parts.find(({ of }) => of === PRE_MIX)?.pieces).toBeGreaterThanOrEqual(3);
    expect(grey?.roundingDE00).toBeLessThan(1.5);
    // The pre-mix is enough for the batch.
    expect(preMix?.madeCm3).toBeGreaterThanOrEqual(preMix?.neededCm3 ?? Number.NaN);
  });

  it('come in the order in which they are mixed, and a mix in a mix is made large enough for it', () => {
    const colours = new Map([
      ['Moss', mix(['Sea', 3], ['Foam', 1])],
      ['Sea', mix(['Kelp', 2], ['Samphire', 1])],
    ]);
    const needs = new Map([
      ['Moss', 12],
      ['Sea', 3],
    ]);
    const found = batches({ colours, needs, pieceCm3: 1 });
    expect(found.map(({ colour }) => colour)).toEqual(['Sea', 'Moss']);
    const [sea, moss] = found;
    const taken = moss?.parts.find(({ of }) => of === 'Sea')?.pieces ?? 0;
    expect(sea?.neededCm3).toBeCloseTo(3 + taken, 9);
    expect(sea?.madeCm3).toBeGreaterThanOrEqual(3 + taken);
    const kelp = moss?.clays.get('Kelp') ?? 0;
    expect(kelp / (moss?.madeCm3 ?? 1)).toBeCloseTo(0.5, 1);
  });

  it('have pieces of their own size where there is no cutter', () => {
    const colours = new Map([['Frill', mix(['Samphire', 4], ['Mussel', 1])]]);
    const [batch] = batches({ colours, needs: new Map([['Frill', 6]]) });
    expect(batch.parts).toEqual([
      { of: 'Samphire', pieces: 16 },
      { of: 'Mussel', pieces: 4 },
    ]);
    expect(batch.madeCm3).toBeCloseTo(6, 9);
  });

  it('count parts by weight in pieces of equal volume', () => {
    const colours = new Map([
      [
        'C',
        {
          basis: 'weight' as const,
          parts: [
            { clay: 'Kelp', parts: 1 },
            { clay: 'Foam', parts: 1 },
          ],
        },
      ],
    ]);
    const [batch] = batches({
      colours,
      needs: new Map([['C', 90]]),
      pieceCm3: 1,
      densityOf: (clay) => (clay === 'Foam' ? 1.5 : 1.2),
    });
    // At a density ratio of 1.25 an equal weight is 1.25 times the volume of the lighter one.
    const [kelp, foam] = batch.parts;
    expect((kelp?.pieces ?? 0) / (foam?.pieces ?? 1)).toBeCloseTo(1.25, 1);
  });

  it('are refused where mixes are made of one another, or of what nobody knows', () => {
    const needs = new Map([['A', 1]]);
    const ask = (colours: BatchesAsked['colours']) =>
      planBatches({
        colours,
        needs,
        isClay: (name) => CLAYS.includes(name),
        densityOf: () => 1.4,
        colourOf,
        fewest: 4,
      });
    expect(
      ask(
        new Map([
          ['A', mix(['B', 1])],
          ['B', mix(['A', 1])],
        ]),
      ).status,
    ).toBe('circle');
    expect(ask(new Map([['A', mix(['Whelk', 1])]])).status).toBe('unknown-clay');
  });
});

describe('whole counts', () => {
  it('have the total and are at most one off the share', () => {
    const shares = fc
      .array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 6 })
      .map((parts) => parts.map((n) => n / parts.reduce((sum, m) => sum + m, 0)));
    fc.assert(
      fc.property(shares, fc.integer({ min: 6, max: 400 }), (of, total) => {
        const counts = wholeShares(of, total);
        expect(counts.reduce((sum, n) => sum + n, 0)).toBe(total);
        for (const n of counts) expect(n).toBeGreaterThanOrEqual(1);
        // Where each gets its piece without help, none is more than one off.
        if (of.every((share) => share * total >= 1)) {
          of.forEach((share, i) => {
            expect(Math.abs(share * total - counts[i])).toBeLessThan(1 + 1e-6);
          });
        }
      }),
      { seed: 19 },
    );
  });

  it('are off by at most half a part where more pieces would not help', () => {
    const { counts, error } = countsOf({
      shares: [0.75, 0.25],
      needed: 3,
      exactTotal: 4,
      errorOf: () => 1,
      within: 0.4,
      strongest: 1,
      fewest: 1,
    });
    expect(counts).toEqual([3, 1]);
    expect(error).toBe(0);
  });
});
