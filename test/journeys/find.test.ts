import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { callHere, demoClayFile, startStoppable } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell find '));
const clay = join(folder, 'clay.json');
const stock = join(folder, 'stock.csv');
const AIM = ['--aim', '#8a9b6c'];
/** Lines as the demo's readings have them in their remarks; grams, prices and densities are invented. */
const STOCK = `clay,line,grams,pack-grams,price,density
Foam,Saltmarsh,200,56,3.20,1.6
Kelp,Saltmarsh,12,56,3.20,1.3
Lagoon,Saltmarsh,56,56,3.20,1.2
Periwinkle,Saltmarsh,56,56,3.20,1.4
Mussel,Brindle,57,57,2.90,1.25
Urchin,Brindle,57,57,2.90,1.5
Anemone,Brindle,57,57,2.90,1.35
Starfish,Lantern,60,60,4.50,1.45
Limpet,Lantern,60,60,4.50,1.3
Barnacle,Lantern,60,60,4.50,1.55
Squid,Lantern,60,60,4.50,1.55
`;

beforeAll(async () => {
  writeFileSync(stock, STOCK);
  await demoClayFile(clay);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const lab = z.tuple([z.number(), z.number(), z.number()]);
const parts = z.record(z.string(), z.int().positive());
const recipe = z.strictObject({
  parts,
  lab,
  dE00: z.number().min(0),
  chance: z.number().min(0).max(1),
  times: z.int().min(2).optional(),
  priceMinorPerKg: z.int().positive().optional(),
});
const sides = z.array(z.strictObject({ word: z.string(), size: z.number().min(0) }));
/** The whole of what `--json` gives, as help and docs tell it. */
const answer = z.strictObject({
  aim: lab,
  recipes: z.array(recipe),
  alternatives: z.array(
    recipe.extend({
      reason: z.enum(['fewest clays', 'fewest parts', 'cheapest', 'other clays', 'one line']),
    }),
  ),
  frontier: z.array(recipe),
  gapReport: z
    .strictObject({
      dE00: z.number().optional(),
      sides,
      helps: z.array(
        z.strictObject({
          kind: z.string(),
          of: z.string().optional(),
          value: z.int().optional(),
          parts,
          dE00: z.number(),
        }),
      ),
      insteads: z.array(
        z.strictObject({ relax: z.enum(['lightness', 'chroma', 'hue']), parts, sides }),
      ),
      missing: z
        .strictObject({ name: z.string(), chroma: z.number(), lab, dE00: z.number() })
        .optional(),
    })
    .optional(),
  preMix: z
    .strictObject({
      instead: parts,
      times: z.int().positive(),
      strong: z.string(),
      moves: z.number(),
      first: parts.optional(),
      preMixParts: z.int().positive().optional(),
      others: parts.optional(),
      dE00: z.number().optional(),
    })
    .optional(),
  unlearned: z.array(z.string()),
  tried: z.int().min(0),
  total: z.int().min(1),
  settled: z.number().min(0).max(1),
  proven: z.boolean(),
  endedBy: z.enum(['stop', 'time']).optional(),
  searchMs: z.number().min(0),
});
type Parts = z.infer<typeof parts>;

/** The answer with the closest recipe first. */
async function asked(...words: string[]) {
  const closest = ['--order', 'closest'];
  const { code, out, err } = await callHere(['find', clay, ...AIM, '--json', ...closest, ...words]);
  expect([code, err]).toEqual([0, '']);
  return answer.parse(JSON.parse(out));
}
async function reply(...words: string[]): Promise<string> {
  const { code, out, err } = await callHere(['find', clay, ...words]);
  expect([code, err]).toEqual([0, '']);
  expect(out).not.toMatch(/error|invalid|optim|undefined|NaN|!|\n\n\n/i);
  return out;
}
const names = (recipe: Parts) => Object.keys(recipe);
const count = (recipe: Parts) => Object.values(recipe).reduce((sum, n) => sum + n, 0);
const shareOf = (recipe: Parts, ...clays: string[]) =>
  clays.reduce((sum, name) => sum + (recipe[name] ?? 0), 0) / count(recipe);
const SALTMARSH = ['Foam', 'Kelp', 'Lagoon', 'Periwinkle'];
const linesOf = (recipe: Parts) =>
  new Set(names(recipe).map((name) => STOCK.match(new RegExp(`^${name},(\\w+)`, 'm'))?.[1]));

describe('each rule is an option', () => {
  it.each<[string, string[], (recipe: Parts) => boolean]>([
    ['--only', ['Kelp, foam, "Limpet"'], (r) => shareOf(r, 'Kelp', 'Foam', 'Limpet') === 1],
    ['--without', ['kelp', 'BARNACLE'], (r) => shareOf(r, 'Kelp', 'Barnacle') === 0],
    ['--must', ['Urchin', 'Starfish'], (r) => Boolean(r.Urchin && r.Starfish)],
    ['--lines', ['brindle', 'Lantern'], (r) => !linesOf(r).has('Saltmarsh')],
    ['--most-lines', ['1'], (r) => linesOf(r).size === 1],
    ['--at-least', ['50 % Saltmarsh'], (r) => shareOf(r, ...SALTMARSH) >= 0.5 - 1e-9],
    ['--at-least', ['Brindle 25%'], (r) => shareOf(r, 'Mussel', 'Urchin', 'Anemone') >= 0.25],
    [
      '--at-most',
      ['12,5 % of white', '20% Barnacle'],
      (r) => shareOf(r, 'Foam') <= 0.125 + 1e-9 && shareOf(r, 'Barnacle') <= 0.2 + 1e-9,
    ],
    ['--clays', ['2'], (r) => names(r).length <= 2],
    ['--parts', ['5'], (r) => count(r) <= 5],
    ['--batch', ['100'], (r) => gramsOf(r, 'Kelp', 100) <= 12 + 1e-6],
  ])('%s %j', async (option, values, keeps) => {
    const rule = values.flatMap((value) => [option, value]);
    const free = await asked('--stock', stock, '--top', '5');
    const ruled = await asked('--stock', stock, '--top', '5', ...rule);
    expect(ruled.recipes).toHaveLength(5);
    for (const { parts } of [...ruled.recipes, ...ruled.frontier, ...ruled.alternatives]) {
      expect(keeps(parts), JSON.stringify(parts)).toBe(true);
    }
    // The rule bites: without it something breaks it, and comes nearer.
    expect(free.recipes.some(({ parts }) => !keeps(parts))).toBe(true);
    expect(ruled.recipes[0].dE00).toBeGreaterThanOrEqual(free.recipes[0].dE00);
  });

  it('begins with the most likely recipe, or with another where --order says so', async () => {
    const first = async (...order: string[]) => {
      const { out } = await callHere(['find', clay, ...AIM, '--json', ...order]);
      return answer.parse(JSON.parse(out)).recipes;
    };
    const likely = await first();
    const chances = likely.map(({ chance }) => chance);
    expect(chances).toEqual(chances.toSorted((one, other) => other - one));
    const closest = await first('--order', 'closest');
    expect(closest[0].dE00).toBeLessThanOrEqual(likely[0].dE00);
    expect(closest[0].chance).toBeLessThanOrEqual(likely[0].chance + 1e-9);
    const fewest = await first('--order', 'fewest');
    expect(names(fewest[0].parts).length).toBeLessThanOrEqual(names(likely[0].parts).length);
  });

  it('--half-part says how often to cut, and proposes a pre-mix', async () => {
    const rule = ['--aim', '75,20,10', '--half-part', '0.6', '--top', '3'];
    const { code, out } = await callHere(['find', clay, '--json', ...rule]);
    expect(code).toBe(0);
    const { preMix } = answer.parse(JSON.parse(out));
    if (preMix?.first === undefined) throw new Error('no pre-mix was proposed');
    expect(preMix.first[preMix.strong]).toBe(1);
    expect(preMix.moves).toBeGreaterThan(0.6);
    const text = await reply(...rule);
    expect(text).toMatch(/ is nearer, but half a part of \w+ moves it by \d\.\d/);
    expect(text).toMatch(
      /Make a pre-mix first, in a batch big enough to measure well: [249] \w+ \+ 1 \w+\. Then \d+ of that \+ \d+ \w+.*: \d+\.\d off\./,
    );
  });

  it('--lights ranks by the worst of them', async () => {
    const one = await asked('--top', '3');
    const all = await asked('--top', '3', '--lights', 'D65', '--lights', 'A, D50');
    expect(all.recipes[0].dE00).toBeGreaterThan(one.recipes[0].dE00);
    expect(await reply(...AIM, '--lights', 'a,d65,a')).toContain(
      'under the worst of D50, A and D65, 2 degrees',
    );
  });

  it('--relax lets one of the three count for half', async () => {
    const green = ['--aim', '70,-53,34', '--top', '1'];
    const text = await reply(...green, '--relax', 'Lightness');
    expect(text).toContain('lightness counting for half');
    expect(text).not.toContain('--relax');
    expect(await reply(...green)).toContain('--relax lightness: ');
  });

  it('--basis weight takes densities from the stock', async () => {
    const byWeight = await asked('--stock', stock, '--basis', 'weight', '--top', '1');
    const byVolume = await asked('--stock', stock, '--basis', 'volume', '--top', '1');
    expect(byWeight.recipes[0].parts).not.toEqual(byVolume.recipes[0].parts);
  });

  it('--stock tells prices, and what was never learned', async () => {
    const { recipes, alternatives, unlearned } = await asked('--stock', stock);
    const cheapest = alternatives.find(({ reason }) => reason === 'cheapest');
    expect(cheapest?.priceMinorPerKg).toBeLessThan(recipes[0].priceMinorPerKg ?? 0);
    expect(unlearned).toEqual(['Squid']);
    const text = await reply(...AIM, '--stock', stock);
    expect(text).toMatch(/cheapest .* \d+\.\d\d a kilogram; the closest costs \d+\.\d\d\n/);
    expect(text).toContain(
      'Left out, because nothing is known of its colour: Squid. Read a tile of it.',
    );
  });

  /** Grams of one clay in a batch; parts are by volume. */
  function gramsOf(recipe: Parts, clay: string, batchG: number): number {
    const density = (name: string) =>
      Number(STOCK.match(new RegExp(`^${name},.*,([\\d.]+)$`, 'm'))?.[1]);
    const all = names(recipe).reduce((sum, name) => sum + recipe[name] * density(name), 0);
    return (batchG * (recipe[clay] ?? 0) * density(clay)) / all;
  }
});

describe('--exhaustive', () => {
  it('gives the same answer', async () => {
    const rules = ['--stock', stock, '--clays', '3', '--parts', '8', '--most-lines', '2'];
    const fast = await asked(...rules);
    const slow = await asked(...rules, '--exhaustive');
    expect(slow.proven).toBe(true);
    expect(slow.tried).toBeGreaterThan(fast.tried);
    expect(slow.recipes.map(({ parts }) => parts)).toEqual(fast.recipes.map(({ parts }) => parts));
    slow.recipes.forEach(({ dE00 }, i) => {
      expect(dE00).toBeCloseTo(fast.recipes[i].dE00, 9);
    });
    expect(await reply(...AIM, ...rules, '--exhaustive')).toMatch(
      /The best of all [\d,]+ recipes, each of them tried, /,
    );
  });
});

describe('rules that contradict or cannot be read', () => {
  it.each<[string, string[]]>([
    ['Kelp must be in every recipe and is left out.', ['--must', 'Kelp', '--without', 'kelp']],
    ['a recipe has room for 1.', ['--must', 'Kelp,Foam', '--clays', '1']],
    ['These rules leave no clay to mix from.', ['--only', 'Kelp', '--without', 'Kelp']],
    ['at most 10 % Saltmarsh is allowed.', ['--at-least', '50%Foam', '--at-most', '10%Saltmarsh']],
    ['add up to 110 %.', ['--at-least', '60 % Saltmarsh', '--at-least', '50% Brindle']],
    ['come from 2 lines, and 1 is allowed.', ['--must', 'Kelp,Urchin', '--most-lines', '1']],
    ['none of the clays to use is pearl.', ['--at-least', '20 % pearl']],
    ['Did you mean Foam?', ['--only', 'Faom']],
    ['Did you mean Brindle?', ['--lines', 'Brindel']],
    ['Did you mean translucent?', ['--at-most', '20 % translucnet']],
    ['--must names no clay.', ['--must', ',']],
    ['--lines names no line.', ['--lines', '""']],
    ['--lights names no light.', ['--lights', ' ']],
    ['the lights are D50, ', ['--lights', 'candle']],
    ['it is lightness, chroma or hue.', ['--relax', 'beauty']],
    ['it is a share and what of, like "50 % Saltmarsh".', ['--at-least', '150 % Saltmarsh']],
    ['it is a share and what of', ['--at-least', 'Saltmarsh']],
    ['it is a share and what of', ['--at-most', '50 %']],
    ['it is a share and what of', ['--at-most', '-5 % Foam']],
    ['it is a share and what of', ['--at-most', 'NaN % Foam']],
    ['it is a share and what of', ['--at-most', `${'9'.repeat(400)} % Foam`]],
    ['--most-lines is "0"; it is a whole number from 1 to 50.', ['--most-lines', '0']],
    ['it is a whole number from 1 to 50.', ['--most-lines', '1.5']],
    ['--half-part is "0"; it is a number from 0.05 to 50.', ['--half-part', '0']],
    ['--half-part is "Infinity"', ['--half-part', 'Infinity']],
    ['--batch is "1e9"', ['--batch', '1e9']],
    ['--parts is "101"', ['--parts', '101']],
    ['--clays is "-1"', ['--clays', '-1']],
    ['--top is "0"', ['--top', '0']],
    ['There is no option --half-prat here. Did you mean --half-part?', ['--half-prat', '2']],
    ['--exhaustive takes no value', ['--exhaustive=yes']],
    ['--batch was given twice.', ['--batch', '50', '--batch', '60']],
    ['--must wants a value after it.', ['--must', '--exhaustive']],
    ['more than can be checked', ['--parts', '100', '--clays', '8']],
    ['to try one by one', ['--parts', '100', '--clays', '4', '--exhaustive']],
  ])('%s', async (says, rule) => {
    const { code, out, err } = await callHere(['find', clay, ...AIM, '--stock', stock, ...rule]);
    expect(err).toContain(says);
    // One line: what is the matter, and what to do.
    expect(err).toMatch(/^kneadwell: [^\n]{10,600}\n$/);
    expect(err).not.toMatch(/error|invalid|undefined|optim|!/i);
    expect([code, out]).toEqual([2, '']);
  });

  it.each<[string, string, string[]]>([
    ['lines without a stock', 'given with --stock.', ['--at-least', '50 % Saltmarsh']],
    ['lines without a stock', 'name that with --stock.', ['--lines', 'Saltmarsh']],
    ['lines without a stock', 'name that with --stock.', ['--most-lines', '1']],
    ['a batch without a stock', 'Name it with --stock.', ['--batch', '50']],
    ['weights without densities', 'name that with --stock', ['--basis', 'weight']],
  ])('%s: %s', async (_, says, rule) => {
    const { code, out, err } = await callHere(['find', clay, ...AIM, ...rule]);
    expect(err).toContain(says);
    expect([code, out]).toEqual([2, '']);
  });

  it('name the place in a stock file that cannot be read', async () => {
    const torn = join(folder, 'torn.csv');
    writeFileSync(torn, 'clay,grams\nKelp,12\nFoam,1,5\n');
    const { code, out, err } = await callHere(['find', clay, ...AIM, '--stock', torn]);
    expect(err).toContain('torn.csv, line 3: found 3 cells, expected 2');
    expect([code, out]).toEqual([2, '']);
    const none = await callHere(['find', clay, ...AIM, '--stock', join(folder, 'none.csv')]);
    expect(none.code).toBe(3);
  });

  it('only counting can tell are an answer, with what would let one through', async () => {
    const rules = ['--only', 'Foam, Kelp', '--at-most', '40 % Foam', '--at-most', '40 % Kelp'];
    const text = await reply(...AIM, ...rules);
    expect(text).toContain('No recipe keeps to all of this.\n  What would let one through:\n');
    expect(text).toContain('without --at-most for Foam: ');
    expect(text).toContain('all your clays, without --only: ');
    const { recipes, gapReport, proven } = await asked(...rules);
    expect([recipes, proven, gapReport?.dE00]).toEqual([[], true, undefined]);
  });
});

describe('a "no"', () => {
  it('says how the nearest falls short, which rule stands in the way, and what is missing', async () => {
    const text = await reply(
      ...['--aim', '60,-12,22', '--only', 'Foam, Urchin, Anemone'],
      ...['--parts', '6', '--tolerance', '1.5'],
    );
    expect(text).toMatch(
      /Nothing comes within 1\.5\. The closest is \d+\.\d off: .* than the aim\./,
    );
    expect(text).toMatch(/all your clays, without --only: .*Kelp.*, \d\.\d off/);
    expect(text).toMatch(/a clay near [a-z ]+, chroma \d+ or more: the aim would be [01]\.\d off/);
    expect(text).toContain('Or give something up:');
  });

  it('names a tolerance that would do, and with it is a yes', async () => {
    const words = ['--aim', '70,-30,20', '--top', '1'];
    const text = await reply(...words, '--tolerance', '0.05');
    const enough = /--tolerance (\d+(?:\.\d)?), where /.exec(text)?.[1];
    if (enough === undefined) throw new Error(text);
    expect(await reply(...words, '--tolerance', enough)).not.toContain('Nothing comes within');
  });
});

describe('Ctrl-C', () => {
  it('ends the search with the best so far, said to be unproven', async () => {
    // Some minutes of work.
    const words = ['--exhaustive', '--parts', '50', '--clays', '4', '--json'];
    const child = await startStoppable(['find', clay, ...AIM, ...words], folder);
    let out = '';
    child.stdout.on('data', (text) => {
      out += text;
    });
    const closed = new Promise<number | null>((done) => child.on('close', done));
    child.kill('SIGINT');
    expect(await closed).toBe(0);
    const { proven, recipes, tried, total, gapReport, settled, endedBy } = answer.parse(
      JSON.parse(out),
    );
    expect([proven, endedBy]).toEqual([false, 'stop']);
    expect(settled).toBeLessThan(1);
    expect(recipes.length).toBeGreaterThan(0);
    expect(tried).toBeLessThan(total);
    expect(gapReport).toBeUndefined();
  });

  it('is said in words', async () => {
    const { code, out } = await callHere(
      ['find', clay, ...AIM, '--exhaustive', '--parts', '50'],
      (shell) => ({ ...shell, ports: { ...shell.ports, stopped: () => true } }),
    );
    expect(code).toBe(0);
    expect(out).toMatch(
      /\nStopped after \d+\.\d s, with \d+(?:\.\d)? % of all [\d,]+ recipes tried or proven worse: these are the best so far, not proven; better ones may exist\.\n/,
    );
  });

  it('is as good as a time that is over', async () => {
    const words = ['--exhaustive', '--parts', '50', '--seconds', '0,3'];
    const { code, out } = await callHere(['find', clay, ...AIM, ...words]);
    expect(code).toBe(0);
    expect(out).toMatch(/\nIts time was over after \d+\.\d s, with \d+(?:\.\d)? % of all /);
    const json = await callHere(['find', clay, ...AIM, ...words, '--json']);
    expect(JSON.parse(json.out)).toMatchObject({ proven: false, endedBy: 'time' });
  });
});
