import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, DEMO, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell fields '));
const inside = (name: string) => join(folder, name);
const clay = inside('clay.json');
const book = ['--folder', inside('book')];

beforeAll(async () => {
  writeFileSync(
    inside('stock.csv'),
    'clay,pack-grams,price,density\nFoam,57,2.90,1.6\nKelp,57,3.10,1.3\nLimpet,57,3.60,1.3\n',
  );
  await demoClayFile(clay);
  await said('add', 'line', 'name=Saltmarsh', ...book);
  await said('add', 'block', 'name=Kelp', 'line=Saltmarsh', ...book);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function said(...words: readonly string[]): Promise<string> {
  const { code, out, err } = await callHere(words);
  expect([code, err], words.join(' ')).toEqual([0, '']);
  return out;
}

/** Fields that the help of a command lists at the top of its answer: those of depth one. */
async function listed(command: string): Promise<readonly string[]> {
  const help = (await said(command, '--help')).replace(/\s+/g, ' ');
  const json = help.slice(help.indexOf('--json'));
  const names: string[] = [];
  let depth = 0;
  for (const [sign, name] of json.matchAll(/[{}[\]]|"([a-zA-Z0-9]+)"/g)) {
    if (sign === '{' || sign === '[') depth++;
    else if (sign === '}' || sign === ']') depth--;
    else if (depth === 1) names.push(name);
  }
  return names;
}

describe('the help of --json', () => {
  it.each<[string, () => string[], string[]]>([
    ['learn', () => [...DEMO, '--out', inside('new.json'), '--since', clay], ['explanations']],
    [
      'predict',
      () => [clay, '--of', '1 Kelp + 1 Foam'],
      ['powders', 'notPredicted', 'explanations'],
    ],
    // What is written only now and then: a shortfall, a pre-mix, an end before the whole was seen.
    [
      'find',
      () => [clay, '--aim', '90,80,80', '--clays', '2', '--stock', inside('stock.csv')],
      ['preMix', 'endedBy', 'explanations'],
    ],
    [
      'find',
      () => [clay, '--aim', '60,-20,20', '--half-part', '0.8', '--seconds', '3600'],
      ['endedBy', 'explanations'],
    ],
    ['inspect', () => [clay], ['explanations']],
    ['next-tile', () => [clay, '--tiles', '1'], ['explanations']],
    ['try', () => [clay, '--aim', '#8a9b6c', '--clays', '2', '--parts', '6'], ['chosen']],
    ['nearest', () => ['90,80,80', '--in', DEMO[0], '--within', '1'], []],
    ['tray-sheet', () => ['--out', inside('sheet.pdf')], []],
    ['book', () => book, []],
    ['show', () => ['Kelp', '--history', ...book], ['blocks', 'says']],
    ['list', () => ['block', ...book], ['changes', 'stock']],
    ['undo', () => book, []],
    ['backup', () => book, []],
    ['verify', () => book, []],
    ['doctor', () => book, []],
    ['export', () => ['--out', inside('out'), ...book], []],
  ])('of %s lists every field that is written', async (command, words, sometimes) => {
    const [line] = (await said(command, ...words(), '--json')).trim().split('\n');
    const written = Object.keys(JSON.parse(line) as object);
    const names = [...new Set(await listed(command))];
    expect(names).toEqual(expect.arrayContaining(written));
    expect(written.toSorted()).toEqual(
      names.filter((name) => !sometimes.includes(name)).toSorted(),
    );
  });
});
