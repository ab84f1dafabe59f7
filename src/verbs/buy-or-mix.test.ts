import { beforeAll, describe, expect, it } from 'vitest';
import { SIX_NAMES, sixClays } from '../../test/six-clays.ts';
import { answered } from '../core/find/work-steps.ts';
import type { Optimiser } from '../core/numeric/linear-problem.ts';
import { highsOptimiser } from '../solver/highs-optimiser.ts';
import { buyOrMix } from './buy-or-mix.ts';
import { buyingList } from './buying-list.ts';

let optimiser: Optimiser;
beforeAll(async () => {
  optimiser = await highsOptimiser();
});
const pace = () => ({
  nowMs: () => 0,
  breathe: async () => {},
  optimiser: async () => optimiser,
});
const piles = (question: object) => answered(buyOrMix.ask(sixClays, question), pace());
const list = (question: object) => answered(buyingList.ask(sixClays, question), pace());
const decided = (name: string, choice: 'always' | 'never', why?: string) => ({
  name,
  buying: { choice, ...(why === undefined ? {} : { why }) },
});

describe('what the user decided about a block', () => {
  it('holds in the piles, with the reason', async () => {
    const { buy } = await piles({
      tolerance: 7,
      stock: [decided('Dulse', 'always', 'I paint it')],
    });
    expect(buy.find(({ clay }) => clay === 'Dulse')?.why.sentence).toBe(
      'You always buy this block: I paint it.',
    );
    const never = await piles({ tolerance: 0.5, stock: [decided('Kelp', 'never')] });
    expect(never.buy.map(({ clay }) => clay)).not.toContain('Kelp');
    expect(never.neither.map(({ clay }) => clay)).toEqual(['Kelp']);
  });

  it('holds in a buying list; what is asked now comes first', async () => {
    const asked = { aims: ['Kelp'], tolerance: 0.5 };
    const free = await list(asked);
    expect(free.buy.map(({ clay }) => clay)).toEqual(['Kelp']);
    const without = await list({ ...asked, stock: [decided('Kelp', 'never')] });
    expect(without.packages).toBe(0);
    expect(without.colours[0]?.why).toContain('Nothing you would buy comes close enough.');
    expect(without.helps).toEqual([{ clay: 'Kelp', colours: ['Kelp'] }]);
    const { buy } = await piles({
      tolerance: 0.5,
      always: ['Kelp'],
      stock: [decided('Kelp', 'never')],
    });
    expect(buy.map(({ clay }) => clay)).toContain('Kelp');
  });
});

describe('the cheapest piles', () => {
  const priced = (prices: Readonly<Record<string, number>>, currency = 'EUR') =>
    SIX_NAMES.flatMap((name) =>
      prices[name] === undefined ? [] : [{ name, priceMinorPerG: prices[name], currency }],
    );

  it('are as few where every block costs the same', async () => {
    const few = await piles({ tolerance: 7 });
    expect(few).toMatchObject({ goal: 'fewest', notes: [] });
    const all = Object.fromEntries(SIX_NAMES.map((name) => [name, 5]));
    const cheap = await piles({ tolerance: 7, goal: 'cheapest', stock: priced(all) });
    expect(cheap).toMatchObject({ goal: 'cheapest', notes: [] });
    expect(cheap.buy).toHaveLength(few.buy.length);
  });

  it('are those of the fewest blocks where no price is known, and say so', async () => {
    const few = await piles({ tolerance: 7 });
    const { goal, buy, notes } = await piles({ tolerance: 7, goal: 'cheapest', grams: 50 });
    expect(goal).toBe('fewest');
    expect(buy).toEqual(few.buy);
    expect(notes[0]).toBe('No price is known, so the piles have the fewest blocks.');
    expect(notes[1]).toContain('What mixing saves is not known');
  });

  it('do not add up two currencies', async () => {
    const few = await piles({ tolerance: 7 });
    const stock = [...priced({ Kelp: 5, Dulse: 6 }), ...priced({ White: 4 }, 'USD')];
    const { goal, buy, mix, notes } = await piles({ tolerance: 7, goal: 'cheapest', stock });
    expect([goal, buy.map(({ clay }) => clay)]).toEqual([
      'fewest',
      few.buy.map(({ clay }) => clay),
    ]);
    expect(mix.every(({ costPer100g }) => costPer100g === undefined)).toBe(true);
    expect(notes).toEqual([
      'Prices are in EUR and USD, which cannot be added up, so the piles have the fewest blocks. Enter all prices in one currency.',
    ]);
  });

  it('take the middle price for a block without one', async () => {
    const stock = priced({ White: 4, Black: 5, Kelp: 6, Limpet: 7, Urchin: 8 });
    const { goal, notes } = await piles({ tolerance: 7, goal: 'cheapest', stock });
    expect(goal).toBe('cheapest');
    expect(notes).toEqual([
      'There is no price for Dulse: the middle price of the others is taken.',
    ]);
  });
});

describe('a mix saved as good enough', () => {
  it('counts however far off it is, while its clays are bought', async () => {
    const alone = await piles({ tolerance: 0.5 });
    expect(alone.mix).toEqual([]);
    const recipe = [
      { clay: 'Limpet', parts: 2 },
      { clay: 'Black', parts: 1 },
    ];
    const { buy, mix, proven } = await piles({
      tolerance: 0.5,
      goodEnough: [{ clay: 'Kelp', recipe }],
    });
    expect(proven).toBe(true);
    expect(buy).toHaveLength(5);
    expect(mix).toMatchObject([{ clay: 'Kelp', recipe, isSaved: true, bakeFirst: false }]);
    expect(mix[0]?.dE00).toBeGreaterThan(0.5);
  });

  it('does not count where one of its clays is not known', async () => {
    const { mix } = await piles({
      tolerance: 0.5,
      goodEnough: [{ clay: 'Kelp', recipe: [{ clay: 'Whelk', parts: 1 }] }],
    });
    expect(mix).toEqual([]);
  });
});
