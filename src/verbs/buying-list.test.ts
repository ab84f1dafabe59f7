import { beforeAll, describe, expect, it } from 'vitest';
import { SIX_NAMES, sixClays } from '../../test/six-clays.ts';
import { answered } from '../core/find/work-steps.ts';
import type { Optimiser } from '../core/numeric/linear-problem.ts';
import { highsOptimiser } from '../solver/highs-optimiser.ts';
import { buyingList } from './buying-list.ts';
import { figure } from './figure.ts';

let optimiser: Optimiser;
beforeAll(async () => {
  optimiser = await highsOptimiser();
});
const pace = () => ({ nowMs: () => 0, breathe: async () => {}, optimiser: async () => optimiser });
const list = (question: object) => answered(buyingList.ask(sixClays, question), pace());

const PLAN = {
  shapes: ['2 ball 30 of Kelp', '1 ball 20 of 1 Dulse + 2 White'],
  copies: 3,
  spare: 0.1,
};

describe('a buying list for a figure', () => {
  it('has the colours and the grams that the figure needs', async () => {
    const { colours } = await answered(figure.ask(sixClays, PLAN), pace());
    // What is lost is said by the shapes of a figure.
    const found = await list({ plan: PLAN, aims: ['Limpet'], grams: 5, waste: 0.5 });
    expect(found.colours.map(({ colour, grams }) => [colour, grams])).toEqual([
      ['Limpet', 5],
      ...colours.map(({ colour, grams }) => [colour, grams]),
    ]);
    const used = [...found.buy, ...found.have].reduce((sum, { usedG }) => sum + usedG, 0);
    expect(used).toBeCloseTo(10 + colours.reduce((sum, { grams }) => sum + grams, 0), 6);
  });

  it('leaves out what cannot be planned, and what has no colour, and says so', async () => {
    const stock = [{ name: 'Whelk' }];
    const shapes = ['ball -3 of Kelp', '1 ball 20 of Whelk', '1 ball 20 of Urchin'];
    const { colours, notes } = await list({ plan: { shapes }, stock });
    expect(colours.map(({ colour }) => colour)).toEqual(['Urchin']);
    expect(notes).toEqual(
      expect.arrayContaining([
        expect.stringContaining('Whelk is left out: the colour of one of its clays is not known.'),
        expect.stringContaining('The diameter of a ball cannot be -3.'),
      ]),
    );
  });

  it('plans the other colours where no shape can be planned', async () => {
    const plan = { shapes: ['ball -3 of Kelp'] };
    const { colours, notes } = await list({ plan, aims: ['Limpet'] });
    expect(colours).toHaveLength(1);
    expect(notes.join(' ')).toContain('cannot be -3');
    await expect(list({ plan })).rejects.toThrow('cannot be -3');
  });

  it('has nothing to buy where every colour is mixed already', async () => {
    const plan = { ...PLAN, shapes: ['1 ball 20 of Kelp'], mixed: ['Kelp'] };
    const { packages, colours, notes } = await list({ plan });
    expect([packages, colours, notes]).toEqual([
      0,
      [],
      ['Every colour of this figure is mixed already.'],
    ]);
  });

  it.each([
    [{ palette: 'Low tide' }, '"Low tide" is a palette of a book'],
    [{ plan: { figure: 'Sea slug' } }, '"Sea slug" is a figure of a book'],
    [{}, 'No colour is wanted.'],
  ])('refuses %j in words', async (question, says) => {
    await expect(list(question)).rejects.toThrow(says);
  });
});

describe('a buying list within limits', () => {
  const wanted = { aims: ['Kelp'], tolerance: 0.5 };
  const priced = SIX_NAMES.map((name) => ({
    name,
    priceMinorPerG: 5,
    packageG: 50,
    line: 'Saltmarsh',
  }));

  it('names the limit that leaves no room for a colour', async () => {
    const why = async (limit: object) =>
      (await list({ ...wanted, stock: priced, ...limit })).colours[0]?.why;
    expect(await why({ budgetMinor: 0 })).toBe('The budget leaves no room for this colour.');
    expect(await why({ budgetMinor: 10, mostLines: 1 })).toBe(
      'The budget or the number of lines leaves no room for this colour.',
    );
  });

  it('buys as many packages as a large amount needs', async () => {
    const { packages, colours } = await list({ ...wanted, grams: 2000, stock: priced });
    expect(colours[0]?.why).toBeUndefined();
    expect(packages).toBeGreaterThanOrEqual(40);
  });

  it('says where a block that is never bought is not enough', async () => {
    const stock = priced.map((row) => ({ ...row, onHandG: 20 }));
    const { colours } = await list({ ...wanted, grams: 500, stock, never: SIX_NAMES });
    expect(colours[0]?.why).toBe(
      'Every recipe needs more than is at hand of a block that is never bought.',
    );
  });

  it('says which limit it cannot keep, and plans the colours', async () => {
    const { notes, packages } = await list({ ...wanted, budgetMinor: 0, mostLines: 1 });
    expect(packages).toBe(1);
    expect(notes).toEqual(
      expect.arrayContaining([
        'The budget is left aside, because what the packages cost is not known.',
        'The number of lines is left aside, because no line of a block is known.',
      ]),
    );
  });
});
