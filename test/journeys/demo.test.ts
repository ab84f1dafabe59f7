import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { labFromHex } from '../../src/core/colour/display.ts';
import { labFromSpectrum } from '../../src/core/colour/spaces.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import { type Called, call, callHere, DEMO } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell demo '));
const clay = join(folder, 'clay.json');
let learned: Called;

beforeAll(() => {
  for (const path of DEMO) cpSync(path, join(folder, path.split('/').at(-1) ?? ''));
  learned = call(['learn', 'tide-pool.csv', 'spectra.csv', '--out', 'clay.json', '--json'], folder);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const lab = z.tuple([z.number(), z.number(), z.number()]);
const row = z.strictObject({
  of: z.string(),
  lab,
  cov: z.tuple([lab, lab, lab]),
  light: z.string(),
  observer: z.number(),
  spectrum: z.strictObject({
    start: z.literal(380),
    step: z.literal(10),
    values: z.array(z.number().min(0).max(1)).length(36),
  }),
});
/** test/journeys/find.test.ts has the whole shape. */
const found = z.object({
  aim: lab,
  recipes: z.array(
    z.strictObject({
      parts: z.record(z.string(), z.int().positive()),
      lab,
      dE00: z.number().min(0),
      chance: z.number().min(0).max(1),
    }),
  ),
  searchMs: z.number().min(0),
});

const rows = (called: Called) =>
  called.out
    .trimEnd()
    .split('\n')
    .map((line) => row.parse(JSON.parse(line)));

describe('learn', () => {
  it('says what it learned and what it left aside', () => {
    expect(learned.err).toBe('');
    expect(learned.code).toBe(0);
    const said = JSON.parse(learned.out);
    expect(Object.keys(said)).toEqual([
      'out',
      'basis',
      'readings',
      'tiles',
      'clays',
      'leftAside',
      'notes',
      'report',
    ]);
    expect(said.clays.toSorted()).toEqual([
      'Anemone',
      'Barnacle',
      'Foam',
      'Kelp',
      'Lagoon',
      'Limpet',
      'Mussel',
      'Periwinkle',
      'Starfish',
      'Urchin',
    ]);
    expect(said.leftAside).toHaveLength(3);
    for (const { tile, file, line, why } of said.leftAside) {
      const text = readFileSync(join(folder, file), 'utf8').split('\n')[line - 1];
      expect(text).toContain(`${tile},`);
      expect(text).toContain(',raw,');
      expect(why).toContain('raw');
    }
  });

  it('gives the same bytes for the same readings', () => {
    const before = readFileSync(clay);
    expect(call(['learn', 'tide-pool.csv', 'spectra.csv', '--out', 'clay.json'], folder).code).toBe(
      0,
    );
    expect(readFileSync(clay).equals(before)).toBe(true);
  });
});

describe('predict', () => {
  it('writes one line a row, in the shape that is documented', async () => {
    const from = join(folder, 'tide-pool.csv');
    const called = await callHere(['predict', clay, '--from', from, '--json']);
    const answer = rows(called);
    const written = readFileSync(from, 'utf8').trimEnd().split('\n').slice(2);
    expect(answer.map(({ of }) => of)).toEqual(written.map((line) => line.split(',')[1]));
    // The spectrum and the Lab of a line are one colour.
    for (const { lab, spectrum, light, observer } of answer) {
      expect([light, observer]).toEqual(['D50', 2]);
      const seen = labFromSpectrum(Float64Array.from(spectrum.values), colourWeights('D50', 2));
      expect(deltaE2000(seen, lab)).toBeLessThan(1e-9);
    }
  });

  it('comes back to the tiles it was learned from within their noise and uneven parts', async () => {
    const path = join(folder, 'tide-pool.csv');
    const answer = rows(await callHere(['predict', clay, '--from', path, '--json']));
    const read = readFileSync(path, 'utf8').trimEnd().split('\n').slice(2);
    const off = read.flatMap((line, i) => {
      const [, , state, l, a, b] = line.split(',');
      return state === 'raw' ? [] : [deltaE2000(answer[i].lab, [Number(l), Number(a), Number(b)])];
    });
    // Noise of 0.5 an axis and parts 3 % uneven, as tools/demo-readings.ts makes them.
    expect(off.reduce((sum, v) => sum + v, 0) / off.length).toBeLessThan(1);
  });

  it('tells a nested recipe as the flat one, and another light as another colour', async () => {
    const nested = await callHere([
      'predict',
      clay,
      '--of',
      '3 (2 Kelp + 1 Foam) + 1 Limpet',
      '--json',
    ]);
    const flat = await callHere(['predict', clay, '--of', '2 kelp + 1 FOAM + 1 Limpet', '--json']);
    expect(rows(nested)[0].lab).toEqual(rows(flat)[0].lab);
    const lamp = await callHere([
      ...['predict', clay, '--of', '2 Kelp + 1 Foam + 1 Limpet', '--json'],
      ...['--light', 'a', '--observer', '10'],
    ]);
    const [under] = rows(lamp);
    expect([under.light, under.observer]).toEqual(['A', 10]);
    const seen = labFromSpectrum(Float64Array.from(under.spectrum.values), colourWeights('A', 10));
    expect(deltaE2000(seen, under.lab)).toBeLessThan(1e-9);
    expect(deltaE2000(under.lab, rows(flat)[0].lab)).toBeGreaterThan(1);
  });
});

describe('find', () => {
  it('finds again the recipe whose colour it is given', async () => {
    const wanted = { Kelp: 2, Foam: 5, Limpet: 1 };
    const of = '2 Kelp + 5 Foam + 1 Limpet';
    const [{ lab }] = rows(await callHere(['predict', clay, '--of', of, '--json']));
    const called = await callHere([
      ...['find', clay, '--aim', lab.join(','), '--order', 'closest', '--json'],
    ]);
    const { recipes, aim } = found.parse(JSON.parse(called.out));
    expect(aim).toEqual(lab);
    expect(recipes).toHaveLength(10);
    expect(recipes[0].parts).toEqual(wanted);
    expect(recipes[0].dE00).toBeLessThan(1e-6);
    for (const [i, { parts, dE00, lab }] of recipes.entries()) {
      expect(Object.keys(parts).length).toBeLessThanOrEqual(4);
      expect(Object.values(parts).reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(12);
      expect(deltaE2000(aim, lab)).toBeCloseTo(dE00, 9);
      expect(dE00).toBeGreaterThanOrEqual(recipes[Math.max(0, i - 1)].dE00);
    }
  });

  it('tells colours that predict tells too', async () => {
    const called = await callHere(['find', clay, '--aim', '#8a9b6c', '--top', '5', '--json']);
    const { recipes, aim } = found.parse(JSON.parse(called.out));
    expect(aim).toEqual([...labFromHex('#8a9b6c')]);
    const words = recipes.flatMap(({ parts }) => [
      '--of',
      Object.entries(parts)
        .map(([clay, n]) => `${n} ${clay}`)
        .join(' + '),
    ]);
    const answer = rows(await callHere(['predict', clay, ...words, '--json']));
    answer.forEach(({ lab }, i) => {
      expect(deltaE2000(lab, recipes[i].lab)).toBeLessThan(1e-6);
    });
  });

  it('follows --only, --clays and --parts', async () => {
    const called = await callHere([
      ...['find', clay, '--aim', '60;-20;20', '--json', '--exhaustive'],
      ...['--only', 'kelp, "Foam"', '--only', 'LIMPET', '--clays', '2', '--parts', '5'],
    ]);
    const { recipes } = found.parse(JSON.parse(called.out));
    for (const { parts } of recipes) {
      expect(['Kelp', 'Foam', 'Limpet']).toEqual(expect.arrayContaining(Object.keys(parts)));
      expect(Object.keys(parts).length).toBeLessThanOrEqual(2);
      expect(Object.values(parts).reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(5);
    }
  });

  it('answers "no" with the best there is, what is missing, and success', async () => {
    const aim = ['--aim', '40,-20,20', '--only', 'Foam, Urchin, Anemone', '--top', '2'];
    const { code, out } = await callHere(['find', clay, ...aim]);
    expect(code).toBe(0);
    expect(out).toMatch(
      /Nothing comes within 1\.8\. The closest is \d+\.\d off: .* than the aim\./,
    );
    expect(out).toMatch(/What would make it a yes:\n {4}all your clays, without --only: .*Kelp/);
    expect(out).toMatch(/\n {2}1 {2}\d/);
    const json = await callHere(['find', clay, ...aim, '--json']);
    expect(json.code).toBe(0);
    expect(found.parse(JSON.parse(json.out)).recipes[0].dE00).toBeGreaterThan(1.8);
  });
});

describe('inspect', () => {
  it('shows every clay with its masstone, and every reading predicted from the others', async () => {
    const { out } = await callHere(['inspect', clay, '--json']);
    const answer = JSON.parse(out);
    expect(Object.keys(answer)).toEqual([
      ...['madeWith', 'basis', 'geometry', 'light', 'observer', 'means', 'clays'],
      ...['groups', 'report'],
    ]);
    expect(answer.basis).toBe('volume');
    expect(answer.groups).toHaveLength(1);
    expect(answer.groups[0].reference).toBe('Foam');
    expect(answer.report.leaveOneOut).toHaveLength(37);
    const kelp = answer.clays.find((p: { name: string }) => p.name === 'Kelp');
    // Unchanged from data/demo/tide-pool.csv, line 5.
    expect(deltaE2000(kelp.lab, [35.6, -23.8, 21.7])).toBeLessThan(2);
    expect(kelp.colourName).toContain('green');
    expect(kelp.munsell).toMatch(/^\d+(\.\d)?(GY|G) 3(\.\d)?\/\d/);
    expect(kelp.tiles).toBe(5);
    const text = (await callHere(['inspect', clay])).out;
    for (const { name } of answer.clays) expect(text).toContain(`  ${name} `);
    expect(text).toContain('D50 and 2 degrees');
  });
});

describe('a terminal that shows 24-bit colour', () => {
  it('lets aim and prediction touch, and marks what a screen cannot show', async () => {
    const inColour = (words: string[]) =>
      callHere(words, (shell) => ({ ...shell, screen: { colour: true } }));
    const { out } = await inColour(['find', clay, '--aim', '#8a9b6c', '--top', '1']);
    // The aim's own code, then at once another background.
    const tile = `${String.fromCharCode(27)}[48;2;138;155;108m      ${String.fromCharCode(27)}[48;2;`;
    expect(out.split(tile)).toHaveLength(3);
    const lagoon = await inColour(['predict', clay, '--of', 'Lagoon']);
    expect(lagoon.out).toMatch(/on a screen #[0-9a-f]{6}~/);
    expect(lagoon.out).toContain('~ stronger than a screen can show');
  });
});
