import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { callHere, DEMO, demoClayFile } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell chart '));
const clay = join(folder, 'clay.json');

beforeAll(async () => {
  await demoClayFile(clay);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Row {
  readonly kind: string;
  readonly of: readonly string[];
  readonly cells: readonly {
    readonly parts: Readonly<Record<string, number>>;
    readonly lab: Lab;
    readonly cov: readonly number[][];
    readonly read: Lab | null;
  }[];
}

async function chart(...options: string[]): Promise<readonly Row[]> {
  const { out, err } = await callHere(['chart', clay, '--json', ...options]);
  expect(err).toBe('');
  return (JSON.parse(out) as { readonly rows: readonly Row[] }).rows;
}

describe('chart', () => {
  it('lists the tiles of some clays, each in the colour that predict gives it', async () => {
    const rows = await chart('--only', 'Kelp, Limpet, Foam');
    expect(rows.map(({ kind, of }) => `${kind}: ${of.join(' and ')}`)).toContain(
      'clay: Kelp and Limpet',
    );
    const pair = rows.find(({ of }) => of.join() === 'Kelp,Limpet')!;
    expect(pair.cells.map(({ parts }) => parts)).toEqual([
      { Kelp: 3, Limpet: 1 },
      { Kelp: 1, Limpet: 1 },
      { Limpet: 3, Kelp: 1 },
    ]);
    const { out } = await callHere(['predict', clay, '--of', '3 Kelp + 1 Limpet', '--json']);
    expect(deltaE2000(JSON.parse(out).lab, pair.cells[0].lab)).toBeLessThan(1e-9);
    expect(pair.cells[0].cov.map((row) => row.length)).toEqual([3, 3, 3]);
  });

  it('fills cells from baked tiles in a file of readings', async () => {
    const empty = await chart('--only', 'Kelp, Foam');
    expect(empty.flatMap(({ cells }) => cells).every(({ read }) => read === null)).toBe(true);
    const filled = await chart('--only', 'Kelp, Foam', '--readings', DEMO[0]);
    const alone = filled.find(({ kind, of }) => kind === 'alone' && of[0] === 'Kelp')!;
    expect(alone.cells[0].read).not.toBeNull();
    // The model was learned from these tiles.
    expect(deltaE2000(alone.cells[0].read!, alone.cells[0].lab)).toBeLessThan(2);
  });

  it('makes a grid of mixes half and half', async () => {
    const rows = await chart(...['Kelp', 'Limpet', 'Foam'].flatMap((name) => ['--down', name]));
    expect(rows.map(({ cells }) => cells.length)).toEqual([3, 3, 3]);
    expect(rows[0].cells[1].parts).toEqual({ Kelp: 1, Limpet: 1 });
  });

  it('shows the tiles to a person, and refuses a line nobody named', async () => {
    const { out } = await callHere(['chart', clay, '--only', 'Kelp, Limpet']);
    expect(out).toContain('Kelp with Limpet');
    expect(out).toContain('not read yet');
    const { err, code } = await callHere(['chart', clay, '--lines', 'Saltmarsh']);
    expect(err).toMatch(/line/i);
    expect(code).not.toBe(0);
  });
});
