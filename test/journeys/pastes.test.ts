import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { ontoGrid } from '../../src/core/colour/resample.ts';
import { labFromSpectrum } from '../../src/core/colour/spaces.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeightsObserved } from '../../src/core/colour/weights.ts';
import { numbers, oracle, spectrumOf } from '../oracles/colour/read-oracle.ts';
import { callHere } from './program.ts';

/**
 * Mean dE00 that an independent fit reached on these mixtures: K and S of each paste from its tints
 * by non-negative least squares, Saunderson 0.04 and 0.6; see test/oracles/SOURCES.md.
 */
const INDEPENDENT_MEAN = 1.9;

const folder = mkdtempSync(join(tmpdir(), 'kneadwell pastes '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const tints = oracle('../mixtures/pastes_tints.csv');
const mixtures = oracle('../mixtures/pastes_mixtures.csv').filter((row) => row.quality === 'ok');

function recipeOf(row: Record<string, string>): string {
  const grams = Object.keys(row).filter((key) => /^g_P\d+$/.test(key) && Number(row[key]) > 0);
  return [`${row.grams_white} White`, ...grams.map((key) => `${row[key]} ${key.slice(2)}`)].join(
    ' + ',
  );
}

function seenLab(row: Record<string, string>): Lab {
  const { nm, values } = spectrumOf(row);
  const grid = ontoGrid(nm, values);
  return labFromSpectrum(grid.values, colourWeightsObserved('D50', 2, grid.observed));
}

/** A file of tints, by weight, as somebody with an instrument would type or export it. */
function tintsCsv(kind: 'spectra' | 'lab'): string {
  const { nm } = spectrumOf(tints[0]);
  const heads = kind === 'spectra' ? nm.map((v) => `R${v}`) : ['L', 'a', 'b', 'geometry'];
  const rows = tints.map((row) => {
    const of = row.paste === '' ? 'White' : `50 White + ${row.grams_paste} ${row.paste}`;
    const colour =
      kind === 'spectra'
        ? spectrumOf(row).values
        : [...numbers(row, 'L_D50_2', 'a_D50_2', 'b_D50_2'), 'included'];
    return [row.sample, of, ...colour].join(',');
  });
  return [['tile', 'of', ...heads].join(','), ...rows].join('\n');
}

describe.each([
  ['spectra', INDEPENDENT_MEAN],
  // Three numbers a tile know less than 31: half as much again is let pass.
  ['lab', INDEPENDENT_MEAN * 1.5],
] as const)('pastes learned from %s of tints, by weight', (kind, limit) => {
  it('predict mixtures nobody showed it', async () => {
    const readings = join(folder, `${kind}.csv`);
    const wanted = join(folder, `${kind} wanted.csv`);
    const clay = join(folder, `${kind}.json`);
    writeFileSync(readings, tintsCsv(kind));
    writeFileSync(wanted, ['of', ...mixtures.map(recipeOf)].join('\n'));
    const learned = await callHere([
      'learn',
      readings,
      '--out',
      clay,
      '--basis',
      'weight',
      '--json',
    ]);
    expect(learned.err).toBe('');
    expect(JSON.parse(learned.out).basis).toBe('weight');
    const answer = await callHere(['predict', clay, '--from', wanted, '--json']);
    expect(answer.err).toBe('');
    const off = answer.out
      .trimEnd()
      .split('\n')
      .map((line, i) => deltaE2000(JSON.parse(line).lab, seenLab(mixtures[i])));
    expect(off).toHaveLength(mixtures.length);
    expect(mixtures.length).toBeGreaterThan(15);
    expect(off.reduce((sum, v) => sum + v, 0) / off.length).toBeLessThan(limit);
  });

  it('refuse parts by volume, as no density is known', async () => {
    const clay = join(folder, `${kind}.json`);
    const of = ['--of', '50 White + 1 P02', '--basis', 'volume'];
    const { code, out, err } = await callHere(['predict', clay, ...of]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('by volume');
    expect(err).toContain('were learned by weight');
  });
});
