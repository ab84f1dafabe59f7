import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell mend '));
const clay = join(folder, 'clay.json');

interface Mended {
  readonly add: Readonly<Record<string, number>>;
  readonly recipe: Readonly<Record<string, number>>;
  readonly dE00: number;
  readonly chance: number;
  readonly growth: number;
}

beforeAll(async () => {
  await demoClayFile(clay);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function colourOf(recipe: string): Promise<Lab> {
  const { out } = await callHere(['predict', clay, '--of', recipe, '--json']);
  return JSON.parse(out).lab;
}

async function mended(...options: string[]) {
  const { out, code, err } = await callHere(['mend', clay, '--json', ...options]);
  expect(err).toBe('');
  expect(code).toBe(0);
  return JSON.parse(out);
}

const sum = (parts: Readonly<Record<string, number>>) =>
  Object.values(parts).reduce((all, n) => all + n, 0);

describe('mend', () => {
  it('finds what was left out, and counts every piece', async () => {
    const aim = await colourOf('5 Kelp + 3 Foam + 2 Limpet');
    const looks = await colourOf('5 Kelp + 3 Foam');
    const answer = await mended(
      '--lump',
      '5 Kelp + 3 Foam',
      '--looks',
      looks.join(','),
      '--aim',
      aim.join(','),
    );
    const best: Mended = answer.additions[answer.recommended];
    expect(answer.leave).toBeNull();
    expect(answer.afresh).toBeNull();
    expect(best.add).toEqual({ Limpet: 2 });
    expect(best.recipe).toEqual({ Kelp: 5, Foam: 3, Limpet: 2 });
    expect(best.growth).toBeCloseTo(10 / 8, 12);
    for (const { add, recipe, growth } of answer.additions as Mended[]) {
      expect(sum(recipe)).toBeCloseTo(8 + sum(add), 9);
      expect(growth).toBeCloseTo((8 + sum(add)) / 8, 9);
      for (const [name, n] of Object.entries({ Kelp: 5, Foam: 3 })) {
        expect(recipe[name]).toBe(n + (add[name] ?? 0));
      }
    }
  });

  it('lists larger additions only where they are expected closer', async () => {
    const { additions } = await mended('--lump', '4 Kelp + 4 Limpet', '--aim', '60,-10,30');
    const off = (additions as Mended[]).map(({ dE00 }) => dE00);
    expect(off).toEqual([...off].sort((a, b) => b - a));
    const sizes = (additions as Mended[]).map(({ growth }) => growth);
    expect(sizes).toEqual([...sizes].sort((a, b) => a - b));
  });

  it('leaves a lump that is closer than an eye can see', async () => {
    const looks = await colourOf('5 Kelp + 3 Foam');
    const aim = [looks[0] + 0.4, looks[1], looks[2] + 0.3];
    const answer = await mended(
      '--lump',
      '5 Kelp + 3 Foam',
      '--looks',
      looks.join(','),
      '--aim',
      aim.join(','),
    );
    expect(answer.leave.why).toMatch(/about \d/);
  });

  it('says that new clay is better where the lump would grow too much', async () => {
    const aim = await colourOf('11 Foam + 1 Limpet');
    const answer = await mended('--lump', '6 Kelp + 2 Limpet', '--aim', aim.join(','));
    expect(answer.afresh.why).toContain('New clay');
    expect(answer.afresh.dE00).toBeLessThan(2);
    expect(deltaE2000(answer.afresh.lab, aim)).toBeLessThan(2);
  });

  it('notices that the counts were exchanged, and mends what is truly there', async () => {
    const looks = await colourOf('2 Kelp + 6 Foam');
    const aim = await colourOf('3 Kelp + 6 Foam');
    const answer = await mended(
      '--lump',
      '6 Kelp + 2 Foam',
      '--looks',
      looks.join(','),
      '--aim',
      aim.join(','),
    );
    expect(answer.doubt.sentence).toContain('exchanged');
    expect(answer.doubt.recipe).toEqual({ Foam: 6, Kelp: 2 });
    const best: Mended = answer.additions[answer.recommended];
    expect(best.add).toEqual({ Kelp: 1 });
    expect(best.recipe).toEqual({ Foam: 6, Kelp: 3 });
    expect(answer.doubt.sentence).toContain('the new recipe');
  });

  it('works from the colour alone, and refuses a lump of which nothing is known', async () => {
    const looks = await colourOf('5 Kelp + 3 Foam');
    const answer = await mended(
      '--amount',
      '8',
      '--looks',
      looks.join(','),
      '--kind',
      'rough',
      '--aim',
      '60,-20,25',
    );
    expect(answer.additions.length).toBeGreaterThan(0);
    const { code, err } = await callHere(['mend', clay, '--aim', '60,-20,25']);
    expect(code).toBe(2);
    expect(err).toContain('--lump');
  });

  it('takes a raw colour through what baking does, or says to bake a chip', async () => {
    const looks = (await colourOf('5 Kelp + 3 Foam')).join(',');
    const aim = (await colourOf('5 Kelp + 3 Foam + 2 Limpet')).join(',');
    const lump = ['--lump', '5 Kelp + 3 Foam', '--looks', looks, '--aim', aim];
    const unknown = await mended(...lump, '--state', 'raw');
    expect(unknown.note).toContain('Bake a small chip');
    const readings = join(folder, 'pairs.csv');
    const rows = [
      [30, -20, 10],
      [60, 5, 20],
      [80, 0, 5],
    ].flatMap(([l, a, b], i) => [
      `Pair ${i},1 Kelp,raw,${l},${a},${b}`,
      `Pair ${i},1 Kelp,baked,${l - 5},${a},${b}`,
    ]);
    writeFileSync(readings, `tile,of,state,L,a,b\n${rows.join('\n')}\n`);
    const known = await mended(...lump, '--state', 'raw', '--readings', readings);
    expect(known.note).toContain('3 tiles read raw and baked');
    const baked = await mended(...lump);
    expect(known.lump.lab[0]).toBeLessThan(baked.lump.lab[0] - 0.5);
    expect(baked.note).toBeUndefined();
  });
});
