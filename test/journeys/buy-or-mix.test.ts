import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell piles '));
const clay = join(folder, 'clay.json');
const stock = join(folder, 'stock.csv');

beforeAll(async () => {
  await demoClayFile(clay);
  writeFileSync(stock, 'clay,price,pack-grams\nKelp,4.00,57\nFoam,3.00,57\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function json(...call: string[]) {
  const { out, err } = await callHere(['buy-or-mix', clay, ...call, '--json']);
  expect(err).toBe('');
  return JSON.parse(out);
}

describe('buy-or-mix', () => {
  it('mixes from bought blocks only, and says why each of those is bought', async () => {
    const { buy, mix, neither, proven } = await json('--tolerance', '7');
    const bought = buy.map((one: { clay: string }) => one.clay);
    expect(proven).toBe(true);
    expect(neither).toEqual([]);
    expect(bought.length + mix.length).toBe(10);
    for (const { recipe, dE00, chance } of mix) {
      expect(bought).toEqual(expect.arrayContaining(Object.keys(recipe)));
      expect(dE00).toBeLessThanOrEqual(7);
      expect(chance).toBeGreaterThan(0);
    }
    for (const { why } of buy) expect(why.sentence).not.toBe('');
  });

  it('has more to buy the closer a mix must come', async () => {
    const { frontier } = await json('--frontier');
    const counts = frontier.map(({ buy }: { buy: string[] }) => buy.length);
    const from = frontier.map((point: { from: number }) => point.from);
    expect(counts.length).toBeGreaterThan(1);
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(from).toEqual([...from].sort((a, b) => b - a));
  });

  it('keeps to what is always and what is never bought', async () => {
    const free = await json('--tolerance', '7');
    const [{ clay: mixed }] = free.mix;
    const pinned = await json('--tolerance', '7', '--always', mixed);
    expect(pinned.buy.find((one: { clay: string }) => one.clay === mixed).why.kind).toBe('always');
    const never = await json('--tolerance', '7', '--never', 'Foam');
    expect(never.buy.map((one: { clay: string }) => one.clay)).not.toContain('Foam');
    expect(never.neither.map((one: { clay: string }) => one.clay)).toEqual(['Foam']);
  });

  it('is cheapest by the prices that are known, and says which are not', async () => {
    const cheap = await json('--tolerance', '7', '--goal', 'cheapest', '--stock', stock);
    expect(cheap.goal).toBe('cheapest');
    expect(cheap.notes).toEqual([expect.stringContaining('There is no price for')]);
    const { out } = await callHere(['buy-or-mix', clay, '--goal', 'cheapest']);
    expect(out).toContain('No smaller set of blocks does it');
    expect(out).toContain('No price is known, so the piles have the fewest blocks.');
  });

  it.each([
    [['--always', 'Kelp', '--never', 'Kelp'], 'always bought and as never bought'],
    [['--never', 'Nosuch'], 'Nosuch'],
    [['--lines', 'Brindle'], 'line'],
    [['--grams', '-5'], '--grams'],
  ])('refuses %j in words', async (options, words) => {
    const { code, err } = await callHere(['buy-or-mix', clay, ...options]);
    expect(code).toBe(2);
    expect(err).toContain(words);
  });
});
