import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hueWord } from '../../src/core/colour/hue-words.ts';
import { lchFromLab } from '../../src/core/colour/spaces.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import type { CompareLinesAnswer } from '../../src/verbs/compare-lines.ts';
import type { InspectAnswer } from '../../src/verbs/inspect.ts';
import type { WidenAnswer } from '../../src/verbs/widen.ts';
import { callHere, demoClayFile, demoStudio } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell what helps '));
const clay = join(folder, 'clay.json');
const stock = join(folder, 'stock.csv');
let labs: ReadonlyMap<string, Lab>;

/** Two lines by hue, so that what either lacks is known: warm colours with white, and cool ones. */
let lineOf: ReadonlyMap<string, 'Warm' | 'Cool'>;

beforeAll(async () => {
  await demoClayFile(clay);
  const { clays } = await asJson<InspectAnswer>('inspect', clay);
  labs = new Map(clays.map(({ name, lab }) => [name, lab]));
  lineOf = new Map(
    clays.map(({ name, lab }) => {
      const [, chroma, hue] = lchFromLab(lab);
      return [name, chroma < 12 || hue < 110 || hue > 330 ? 'Warm' : 'Cool'];
    }),
  );
  const rows = [...lineOf].map(([name, line]) => `${name},${line}\n`);
  writeFileSync(stock, `clay,line\n${rows.join('')}`);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function asJson<A>(...words: string[]): Promise<A> {
  const { out, err, code } = await callHere([...words, '--json']);
  expect([code, err]).toEqual([0, '']);
  return JSON.parse(out) as A;
}

describe('compare-lines', () => {
  it('has the mean chroma of the blocks of each hue, as the model predicts them', async () => {
    const { lines } = await asJson<CompareLinesAnswer>('compare-lines', clay, '--stock', stock);
    expect(lines.map(({ line }) => line).sort()).toEqual(['Cool', 'Warm']);
    for (const { line, hues, clays, share } of lines) {
      const own = [...lineOf].flatMap(([name, of]) => (of === line ? [labs.get(name)!] : []));
      expect(clays).toBe(own.length);
      expect(share).toBeGreaterThan(0);
      expect(share).toBeLessThanOrEqual(1);
      for (const { hue, meanChroma, strongest, clays: count } of hues) {
        const chromas = own
          .map(lchFromLab)
          .flatMap(([, chroma, angle]) => (chroma >= 12 && hueWord(angle) === hue ? [chroma] : []));
        expect(count).toBe(chromas.length);
        if (chromas.length === 0) continue;
        const mean = chromas.reduce((sum, chroma) => sum + chroma, 0) / chromas.length;
        expect(meanChroma).toBeCloseTo(mean, 6);
        // Each clay alone is one of the mixes.
        expect(strongest!.chroma).toBeGreaterThanOrEqual(Math.max(...chromas) - 1e-6);
      }
    }
  });

  it('says which line fills the gaps, by which blocks', async () => {
    const { fills, lines } = await asJson<CompareLinesAnswer>(
      'compare-lines',
      clay,
      '--stock',
      stock,
    );
    const warm = fills.find(({ line }) => line === 'Warm')!;
    expect(warm.by.map(({ line }) => line)).toEqual(['Cool']);
    const [{ to, blocks }] = warm.by;
    const { share } = lines.find(({ line }) => line === 'Warm')!;
    expect(to).toBeGreaterThan(share + 0.1);
    expect(blocks.length).toBeGreaterThan(0);
    let before = share;
    for (const { clay: name, to: own } of blocks) {
      expect(lineOf.get(name)).toBe('Cool');
      expect(own).toBeGreaterThan(before);
      expect(own).toBeLessThanOrEqual(to + 1e-9);
      before = own;
    }
    const { out } = await callHere(['compare-lines', clay, '--stock', stock]);
    expect(out).toContain('What fills the gaps of Warm:');
    expect(out).toMatch(/with Cool \d+ % of the range of all instead of \d+ %/);
  });
});

describe('widen', () => {
  it('names colours on the side where the line has none, and blocks of other lines', async () => {
    const { missing, known } = await asJson<WidenAnswer>(
      ...['widen', clay, '--stock', stock, '--lines', 'Warm', '--top', '2'],
    );
    expect(missing.length).toBe(2);
    const hues = missing.map(({ lab }) => lchFromLab(lab)[2]);
    expect(hues.some((hue) => hue > 110 && hue < 330)).toBe(true);
    expect(missing[0].widens).toBeGreaterThanOrEqual(missing[1].widens);
    expect(known.length).toBeGreaterThan(0);
    for (const one of known) expect(lineOf.get(one.clay)).toBe('Cool');
    const { out } = await callHere(['widen', clay, '--stock', stock, '--lines', 'Warm']);
    expect(out).toContain(missing[0].name);
    expect(out).toContain('Blocks of other lines:');
  });

  it('puts colours that are wanted before range, and says which nothing gives yet', async () => {
    const aim = '45,-45,10';
    const { unmet, missing, notes } = await asJson<WidenAnswer>(
      ...['widen', clay, '--stock', stock, '--lines', 'Warm', '--aim', aim, '--top', '1'],
    );
    expect(unmet).toEqual([aim]);
    expect(missing[0].gives).toEqual([aim]);
    expect(notes).toEqual([]);
  });

  it('refuses a line that no clay has', async () => {
    const { code, err } = await callHere(['widen', clay, '--stock', stock, '--lines', 'Nowhere']);
    expect(code).not.toBe(0);
    expect(err).toContain('Nowhere');
  });
});

describe('a book', () => {
  const book = join(folder, 'book');
  const at = ['--folder', join(book, 'demo')];
  beforeAll(() => demoStudio(book));

  it('has a wish list: saved, listed as text to send, printed, shared when ticked, and undone', async () => {
    const added = await callHere([
      ...['add', 'wish', 'lab=#1f8a5c', 'why=for fronds', 'line=Brindle'],
      ...at,
    ]);
    expect([added.code, added.err]).toEqual([0, '']);
    const { out } = await callHere(['list', 'wishes', ...at]);
    expect(out).toMatch(/^- \S.* \(#1f8a5c\): for Brindle; for fronds$/m);
    const pdf = join(folder, 'wishes.pdf');
    expect((await callHere(['print', 'wishes', '--out', pdf, ...at])).code).toBe(0);
    expect(readFileSync(pdf).subarray(0, 5).toString()).toBe('%PDF-');

    const plain = join(folder, 'plain.share.json');
    const wished = join(folder, 'wished.share.json');
    const share = ['share', '--author', 'Ines Limpet', '--clays', 'none', ...at];
    const silent = await callHere([...share, '--out', plain]);
    expect(silent.out).toContain('wish list');
    expect(readFileSync(plain, 'utf8')).not.toContain('for fronds');
    expect((await callHere([...share, '--with-wishes', '--out', wished])).out).toContain(
      'Your wish list, 1 colour',
    );
    const other = ['--folder', join(folder, 'other')];
    expect((await callHere(['import', wished, ...other])).code).toBe(0);
    expect((await callHere(['list', 'wishes', ...other])).out).toContain('for fronds');
    await callHere(['undo', ...other]);
    expect((await callHere(['list', 'wishes', ...other])).out).toBe('The wish list is empty.\n');

    await callHere(['undo', ...at]);
    expect((await callHere(['list', 'wishes', ...at])).out).toBe('The wish list is empty.\n');
  });

  it('has tiles that make the colours of a palette surer, and a ladder of few pieces to print', async () => {
    const tiles = await callHere([
      ...['next-tile', '--book', '--palette', 'Anemone garden', '--tiles', '1'],
      ...at,
    ]);
    expect([tiles.code, tiles.err]).toEqual([0, '']);
    expect(tiles.out).toContain('These mixes come out within');
    const pdf = join(folder, 'ladder.pdf');
    const ladder = ['print', 'ladder', '--from', 'Foam', '--to', 'Kelp', '--out', pdf, ...at];
    expect((await callHere([...ladder, '--parts', '16'])).code).toBe(0);
    expect((await callHere([...ladder, '--parts', '0'])).err).toContain('--parts');
  });

  it('is asked of a book with a palette', async () => {
    const { unmet } = await asJson<WidenAnswer>(
      ...['widen', '--book', '--palette', 'Anemone garden', '--top', '1', ...at],
    );
    expect(Array.isArray(unmet)).toBe(true);
  });
});
