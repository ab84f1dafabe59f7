import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell figure '));
const clay = join(folder, 'clay.json');
const stock = join(folder, 'stock.csv');
const studio = join(folder, 'studio');

beforeAll(async () => {
  await demoClayFile(clay);
  writeFileSync(
    stock,
    'clay,grams,price,pack-grams,density\nKelp,10,4.00,57,1.4\nFoam,0,3.00,57,1.4\nLimpet,0,9.00,57,1.4\n',
  );
  await callHere(['demo', '--folder', studio]);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('figure', () => {
  it('plans typed shapes with the prices of a stock file', async () => {
    const { out, err } = await callHere([
      ...['figure', clay, '--stock', stock, '--cutter', '10', '--json'],
      ...['--shape', '240 leaf 20 x 6 x 1 mm of 5 Kelp + 2 Foam', '--shape', 'ball -3 of Kelp'],
    ]);
    expect(err).toBe('');
    const { batches, blocks, leftOut, cost } = JSON.parse(out);
    expect(batches).toHaveLength(1);
    expect(leftOut[0].sentence).toContain('The diameter of a ball cannot be -3.');
    const kelp = blocks.find((block: { clay: string }) => block.clay === 'Kelp');
    expect(kelp.buy).toBe(Math.ceil((kelp.usedG - 10) / 57));
    expect(cost.buyMinor).toBeGreaterThan(0);
  });

  it('plans a figure of the book by its name, with its mixes and its hours', async () => {
    const at = ['--book', '--folder', join(studio, 'demo')];
    const { out, err } = await callHere(['figure', ...at, '--figure', 'Sea slug in the weed']);
    expect(err).toBe('');
    expect(out).toMatch(/Fronds +leaf 20 x 6 x 1 mm +Sea moss W1/);
    expect(out).toContain('Pieces of a 20 mm cutter in a 3 mm sheet');
    expect(out).toMatch(/One figure costs \d+\.\d\d EUR, clay and work\./);
    const by = await callHere(['figure', ...at, '--shape', '12 ball 8 of W7', '--json']);
    const { batches } = JSON.parse(by.out);
    // Weed in shade is made of sea moss, which is mixed first.
    expect(batches.map(({ colour }: { colour: string }) => colour)).toEqual([
      'Sea moss W1',
      'Weed in shade W7',
    ]);
  });
});

describe('buying-list', () => {
  it('buys whole packages at the least cost, and says what each is for', async () => {
    const asked = ['buying-list', clay, '--stock', stock, '--tolerance', '7', '--grams', '30'];
    const { out, err } = await callHere([
      ...[...asked, '--aim', '3 Kelp + 1 Foam', '--aim', 'Kelp', '--aim', 'nonsense', '--json'],
    ]);
    expect(err).toBe('');
    const { buy, colours, costMinor, gap, notes } = JSON.parse(out);
    expect(colours).toHaveLength(2);
    for (const { dE00, recipe } of colours) {
      expect(dE00).toBeLessThanOrEqual(7);
      expect(Object.keys(recipe).length).toBeGreaterThan(0);
    }
    const sum = buy.reduce((all: number, one: { costMinor: number }) => all + one.costMinor, 0);
    expect(sum).toBe(costMinor);
    for (const { leftG } of buy) expect(leftG).toBeGreaterThanOrEqual(-1e-6);
    expect(gap).toBeLessThan(0.01);
    expect(notes.join(' ')).toContain('"nonsense" is not a colour that can be read.');
    const without = await callHere([
      ...[...asked, '--aim', 'Kelp', '--never', 'Kelp', '--tolerance', '0.5', '--json'],
    ]);
    const next = JSON.parse(without.out === '' ? '{}' : without.out);
    // Given twice, the tolerance is refused; the list without the block is asked once more.
    expect(next).toEqual({});
    expect(without.err).toContain('--tolerance');
  });

  it('knows the palettes of a book', async () => {
    const at = ['--book', '--folder', join(studio, 'demo')];
    const { out, err } = await callHere([
      ...['buying-list', ...at, '--palette', 'Anemone garden', '--grams', '20', '--json'],
    ]);
    expect(err).toBe('');
    const { colours } = JSON.parse(out);
    expect(colours.map(({ colour }: { colour: string }) => colour)).toEqual(['bead', 'tip', 'arm']);
  });
});
