import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { callHere, DEMO } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell nearest '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function file(name: string, rows: readonly string[]): string {
  const path = join(folder, name);
  writeFileSync(path, `${rows.join('\n')}\n`);
  return path;
}

const collection = file('colours.csv', [
  'tile,of,state,L,a,b,spread',
  'T1,2 Foam + 1 Kelp,baked,60,-20,20,0.5',
  'T2,Kelp,baked,40,-20,20,0.5',
  'T3,Foam,raw,60,-20,20,0.5',
  'T4,Limpet,baked,63,-20,20,0.5',
  'T1,1 Kelp + 2 Foam,baked,62,-20,20,0.5',
]);
const demo = DEMO.flatMap((path) => ['--in', path]);

describe('nearest', () => {
  it('tells words first, then tile, mix, distance and ±, nearest first', async () => {
    const { code, out } = await callHere(['nearest', '61,-20,20', '--in', collection]);
    expect(code).toBe(0);
    const rows = out.split('\n').filter((line) => /^ {2}\d/.test(line));
    // T1 was read twice, at L 60 and 62, its recipe in two orders; T3 is raw.
    expect(rows[0]).toMatch(/^ {2}1 {2}the same\b.*T1 {2}2 Foam \+ 1 Kelp {2,}0\.0 ± 0\.\d$/);
    expect(rows[1]).toMatch(/^ {2}2 {2}a match; slightly lighter +T4/);
    expect(rows[2]).toMatch(/^ {2}3 {2}different; far darker +T2/);
    expect(rows).toHaveLength(3);
    expect(out).toContain('3 tiles compared');
    expect(out).toContain('1 raw reading left out');
  });

  it('gives the same in numbers, by the distances of the tiles told', async () => {
    const { out } = await callHere(['nearest', '55,-15,25', ...demo, '--top', '6', '--json']);
    const { aim, tiles, compared } = JSON.parse(out);
    expect(aim).toEqual([55, -15, 25]);
    expect(tiles).toHaveLength(6);
    expect(compared).toBeGreaterThan(30);
    const answer = tiles.map(({ dE00 }: { dE00: number }) => dE00);
    expect(answer).toEqual([...answer].sort((one, other) => one - other));
    for (const { lab, dE00 } of tiles) expect(deltaE2000(aim, lab)).toBeCloseTo(dE00, 9);
  });

  it('tells the nearest when none lies within, and how it departs', async () => {
    const { code, out } = await callHere([
      'nearest',
      '45,-20,20',
      '--in',
      collection,
      '--within',
      '1,5',
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(
      /No tile lies within 1\.5\. The closest is 4\.\d off: clearly darker than the aim/,
    );
    expect(out).toMatch(/^ {2}1 .*T2/m);
    const enough = /--within (\S+) would show it/.exec(out)?.[1] ?? '';
    const again = await callHere([
      'nearest',
      '45,-20,20',
      '--in',
      collection,
      '--within',
      enough,
      '--json',
    ]);
    expect(JSON.parse(again.out).tiles).toHaveLength(1);
  });

  it('compares readings with gloss and without as one kind', async () => {
    const glossy = file('glossy.csv', [
      'tile,of,geometry,L,a,b',
      'Dark 1,Kelp,excluded,20,0,0',
      'Dark 1,Kelp,excluded,20,0,0',
      // Y of L 20 is 0.0299; with 0.04 of gloss 0.0699, which is L 31.8 by the formula of CIELAB.
      'Dark 2,Kelp,included,31.8,0,0',
    ]);
    const { out } = await callHere(['nearest', '20,0,0', '--in', glossy, '--json']);
    const { tiles, notes } = JSON.parse(out);
    expect(tiles.map(({ tile }: { tile: string }) => tile)).toEqual(['Dark 1', 'Dark 2']);
    expect(tiles[1].dE00).toBeLessThan(0.1);
    expect(notes.join()).toContain('1 of 3 readings hold the gloss');
  });

  it('is less sure of a colour tapped in a photo, however often it was tapped', async () => {
    const tapped = file('tapped.csv', [
      'tile,of,kind,L,a,b,spread',
      ...Array<string>(9).fill('P1,Kelp,rough,50,0,0,'),
      'P2,Foam,measured,50,0,0,0.2',
    ]);
    const { out } = await callHere(['nearest', '50,0,0', '--in', tapped, '--json']);
    const [one, two] = JSON.parse(out).tiles;
    expect([one.tile, two.tile]).toEqual(['P1', 'P2']);
    expect(one.plusMinus).toBeGreaterThan(5);
    expect(one.verdict).not.toBe('same');
    expect(two.verdict).toBe('same');
  });

  it('says so when no tile is baked', async () => {
    const raw = file('raw.csv', ['tile,of,state,L,a,b', 'R1,Kelp,raw,50,0,0']);
    const { code, out } = await callHere(['nearest', '50,0,0', '--in', raw]);
    expect(code).toBe(0);
    expect(out).toContain('None of these readings is of a baked tile');
  });

  it.each([
    ['no colour', ['--in', collection], /Which colour\?/],
    ['two colours', ['50,0,0', '60,0,0', '--in', collection], /One colour is looked for at a time/],
    ['no readings', ['50,0,0'], /--in is missing/],
    ['a colour that is none', ['fifty', '--in', collection], /is not a colour that can be read/],
    ['none to list', ['50,0,0', '--in', collection, '--top', '0'], /--top is "0"/],
    ['a limit below 0', ['50,0,0', '--in', collection, '--within=-1'], /--within is "-1"/],
  ])('refuses %s in one sentence', async (_, words, said) => {
    const { code, out, err } = await callHere(['nearest', ...words]);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(said);
    expect(err.trim().split('\n')).toHaveLength(1);
  });
});
