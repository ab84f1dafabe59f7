import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere } from './program.ts';

const around = mkdtempSync(join(tmpdir(), 'kneadwell words '));
const book = ['--book', '--folder', join(around, 'demo')];

beforeAll(async () => {
  const { code, err } = await callHere(['demo', '--folder', around]);
  expect([code, err]).toEqual([0, '']);
  // Learning all the clays of the demo takes a minute on a slow machine.
}, 300_000);
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

  it('aims at a block or a mix, and finds it again', async () => {
    const quick = ['--clays', '2', '--parts', '5'];
    const clay = await said('find', '--aim', 'Limpet', ...quick);
    expect(clay.recipes[0]).toMatchObject({ parts: { Limpet: 1 } });
    const mix = await said('find', '--aim', 'S16', ...quick);
    expect(mix.recipes[0].parts).toEqual({ Abalone: 4, Nacre: 1 });
  });

  it('names the closest where a word is none', async () => {
    const { code, err } = await callHere(['find', '--aim', 'Abalone insid', ...book]);
    expect([code, err]).toEqual([2, expect.stringMatching(/Did you mean .*Abalone inside/)]);
  });
});
