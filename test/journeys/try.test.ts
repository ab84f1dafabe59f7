import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { callHere, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell try '));
const clay = join(folder, 'clay.json');
const path = join(folder, 'verdicts.csv');
/** The colour wanted: a mix of the demo's clays; the picture it was tapped in is far off. */
const WANTED = '2 Kelp + 5 Foam + 1 Limpet';
let wanted: Lab;
let tapped: string;

beforeAll(async () => {
  await demoClayFile(clay);
  wanted = await colourOf(WANTED);
  tapped = [wanted[0] + 8, wanted[1] + 7, wanted[2] - 6].map((v) => v.toFixed(1)).join(',');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function colourOf(recipe: string): Promise<Lab> {
  const { out } = await callHere(['predict', clay, '--of', recipe, '--json']);
  return JSON.parse(out).lab;
}

const words = (parts: Readonly<Record<string, number>>) =>
  Object.entries(parts)
    .map(([name, n]) => `${n} ${name}`)
    .join(' + ');

describe('try', () => {
  it('gets by three rounds of verdicts from a colour tapped wrong to the one wanted', async () => {
    const rows = ['trial,A,B,C,nearest,how'];
    const off: number[] = [];
    for (let round = 0; round <= 3; round++) {
      writeFileSync(path, `${rows.join('\n')}\n`);
      const file = round === 0 ? [] : ['--verdicts', path];
      const called = await callHere(['try', clay, `--aim=${tapped}`, ...file, '--json']);
      expect(called.err).toBe('');
      const answer = JSON.parse(called.out);
      expect(answer.heard).toBe(round);
      off.push(deltaE2000(await colourOf(words(answer.best.parts)), wanted));
      if (answer.same) break;
      const colours = await Promise.all(
        answer.balls.map((ball: { parts: Record<string, number> }) => colourOf(words(ball.parts))),
      );
      const apart = colours.map((lab) => deltaE2000(lab, wanted));
      const nearest = apart.indexOf(Math.min(...apart));
      const lighter = colours[nearest][0] - wanted[0];
      const how =
        apart[nearest] < 0.8 ? 'same' : lighter > 1 ? 'lighter' : lighter < -1 ? 'darker' : '';
      const balls = answer.balls.map((ball: { parts: Record<string, number> }) =>
        words(ball.parts),
      );
      rows.push([round + 1, ...balls, 'ABC'[nearest], how].join(','));
    }
    expect(off[0]).toBeGreaterThan(4);
    expect(off.at(-1)).toBeLessThan(off[0] / 2);
  });

  it('prints the row to fill in, and shows test balls without a verdict again', async () => {
    const first = await callHere(['try', clay, '--aim', '#8a9b6c']);
    expect(first.code).toBe(0);
    expect(first.out).toMatch(/^ {2}A {2}\d/m);
    const [, row] = /^ {4}(1,.*,,)$/m.exec(first.out) ?? [];
    expect(row, 'a row to copy').toBeDefined();
    writeFileSync(path, `trial,A,B,C,nearest,how\n${row}\n`);
    const again = await callHere(['try', clay, '--aim', '#8a9b6c', '--verdicts', path]);
    expect(again.out).toContain('These wait for your eye');
    expect(again.out).toContain(`    ${row}\n`);
    expect(again.out).toContain('0 verdicts weighed');
  });

  it('lets the eye override: a recipe that looked the same stays, and a doubt is reported', async () => {
    writeFileSync(path, 'trial,A,B,nearest,how\n1,2 Foam + 1 Kelp,1 Kelp + 1 Mussel,B,same\n');
    const { out } = await callHere([
      'try',
      clay,
      '--aim',
      '90,0,0',
      '--aim-spread',
      '1',
      '--verdicts',
      path,
    ]);
    expect(out).toMatch(/Keep 1 (Kelp|Mussel) \+ 1 (Kelp|Mussel): your eye called it the same\./);
    expect(out).toContain('look once more');
  });

  it('says the same for the same files', async () => {
    const call = ['try', clay, '--aim', '#8a9b6c', '--json', '--only', 'Kelp, Foam, Limpet'];
    const [one, two] = [await callHere(call), await callHere(call)];
    expect(one.out).toBe(two.out);
    for (const { parts } of JSON.parse(one.out).balls) {
      expect(['Kelp', 'Foam', 'Limpet']).toEqual(expect.arrayContaining(Object.keys(parts)));
    }
  });

  it.each([
    [['--verdicts', 'nowhere.csv'], 3, 'nowhere.csv'],
    [['--aim-spread', '30'], 2, 'from 0 to 20'],
    [['--parts', '2.5'], 2, 'whole number'],
    [['--only', 'Sand'], 2, 'Sand'],
  ])('%j is a fault in one sentence', async (extra, code, said) => {
    const called = await callHere(['try', clay, '--aim', '#8a9b6c', ...extra]);
    expect(called.code).toBe(code);
    expect(called.out).toBe('');
    expect(called.err).toContain(said);
  });

  it('names the line of a clay it does not know', async () => {
    writeFileSync(path, 'trial,A,B,nearest\n1,Kelp,Foam,A\n2,Kelp,3 Sand + 1 Foam,A\n');
    const called = await callHere(['try', clay, '--aim', '#8a9b6c', '--verdicts', path]);
    expect(called.code).toBe(2);
    expect(called.err).toContain('line 3: "Sand" is not among the clays');
  });
});
