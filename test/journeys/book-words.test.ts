import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, demoStudio } from './program.ts';

const around = mkdtempSync(join(tmpdir(), 'kneadwell words '));
const book = ['--book', '--folder', join(around, 'demo')];

beforeAll(() => demoStudio(around));
afterAll(() => rmSync(around, { recursive: true, force: true }));

async function said(...words: readonly string[]) {
  const { code, out, err } = await callHere([...words, ...book, '--json']);
  expect([code, err], words.join(' ')).toEqual([0, '']);
  return JSON.parse(out);
}

describe('a question in the words of the book', () => {
  it('takes a mix by its code or name for what it is made of', async () => {
    // The demo's S16, "Abalone inside", is 4 Abalone and 1 Nacre.
    const plain = await said('predict', '--of', '4 Abalone + 1 Nacre');
    for (const word of ['S16', 'Abalone inside', 'abalone INSIDE']) {
      const mix = await said('predict', '--of', `"${word}"`);
      mix.lab.forEach((v: number, i: number) => {
        expect(v).toBeCloseTo(plain.lab[i], 6);
      });
    }
    const deeper = await said('predict', '--of', '2 "Abalone inside" + 3 Limpet');
    const spread = await said('predict', '--of', '2 (4 Abalone + 1 Nacre) + 3 Limpet');
    deeper.lab.forEach((v: number, i: number) => {
      expect(v).toBeCloseTo(spread.lab[i], 6);
    });
  });

  it('takes a code that is a number alone', async () => {
    const added = await callHere(['add', '1 tide line: 3 Limpet 1 Kelp', ...book.slice(1)]);
    expect(added.err).toBe('');
    const towards = ['--to', 'white', '--steps', '3'];
    expect(await said('ladder', '--from', '1', ...towards)).toEqual(
      await said('ladder', '--from', '3 Limpet + 1 Kelp', ...towards),
    );
    await callHere(['undo', ...book.slice(1)]);
  });

  it('translates every mix of the book for one line', async () => {
    const { translated } = await said('translate', '--lines', 'Brindle', '--clays', '1');
    const { records } = JSON.parse(readFileSync('data/demo/book.json', 'utf8'));
    const mixes = records.filter(({ kind }: { readonly kind: string }) => kind === 'mix');
    expect(translated).toHaveLength(mixes.length);
    const one = translated.find(({ of }: { readonly of: string }) => of === 'S16 Abalone inside');
    const found = await said(
      'find',
      '--aim',
      one.wanted.join(','),
      '--lines',
      'Brindle',
      '--clays',
      '1',
    );
    expect(one.parts).toEqual(found.recipes[0].parts);
  });

  it('shows the powders of a mix, and says that their effect is not predicted', async () => {
    const folder = book.slice(1);
    for (const words of [['powder', 'name=Shimmer'], ['K90 shiny: 3 Limpet 1 Kelp 2% Shimmer']]) {
      const { code, err } = await callHere(['add', ...words, ...folder]);
      expect([code, err]).toEqual([0, '']);
    }
    const shiny = await said('predict', '--of', 'K90');
    const plain = await said('predict', '--of', '3 Limpet + 1 Kelp');
    const notPredicted = 'The effect of Shimmer on the colour is not predicted.';
    expect(shiny).toMatchObject({
      lab: plain.lab,
      powders: [{ name: 'Shimmer', share: 0.02 }],
      notPredicted,
    });
    expect(plain).not.toHaveProperty('powders');
    const deeper = await said('predict', '--of', '1 K90 + 1 Limpet');
    expect(deeper.powders[0].share).toBeGreaterThan(0);
    expect(deeper.powders[0].share).toBeLessThan(0.02);
    const aimed = await callHere(['find', '--aim', 'K90', '--clays', '2', '--parts', '5', ...book]);
    expect(aimed.out).toContain(notPredicted);
    const { out } = await callHere(['predict', '--of', 'K90', ...book]);
    expect(out).toContain('Work in 2 % Shimmer, by weight of the clay and its powders together.');
    expect(out).toContain(notPredicted);
  });

  it('aims at a block or a mix, and finds it again', async () => {
    const quick = ['--clays', '2', '--parts', '5'];
    const clay = await said('find', '--aim', 'Limpet', '--order', 'closest', ...quick);
    expect(clay.recipes[0]).toMatchObject({ parts: { Limpet: 1 } });
    const mix = await said('find', '--aim', 'S16', '--effects', '--order', 'closest', ...quick);
    expect(mix.recipes[0].parts).toEqual({ Abalone: 4, Nacre: 1 });
  });

  it('names the closest where a word is none', async () => {
    const { code, err } = await callHere(['find', '--aim', 'Abalone insid', ...book]);
    expect([code, err]).toEqual([2, expect.stringMatching(/Did you mean .*Abalone inside/)]);
  });
});
