import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CliShell } from '../../src/cli/shell.ts';
import { callHere, demoStudio } from './program.ts';
import { readerScripts } from './reader-scripts.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell publish '));
const at = ['--folder', join(folder, 'book', 'demo')];
/** The program with the scripts of the page as they are built for it. */
let withScripts: (shell: CliShell) => CliShell;
beforeAll(async () => {
  await demoStudio(join(folder, 'book'));
  const parts = await readerScripts(join(folder, 'scripts'));
  withScripts = (shell) => ({
    ...shell,
    book: async () => ({ ...(await shell.book()), siteParts: async () => parts }),
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Published {
  readonly files: number;
  readonly written: number;
  readonly removed: number;
}

async function published(out: string): Promise<Published> {
  const call = ['publish', '--author', 'Ines Limpet', '--out', join(folder, out), '--json', ...at];
  const { code, out: said, err } = await callHere(call, withScripts);
  expect([code, err]).toEqual([0, '']);
  return JSON.parse(said) as Published;
}

/** Every file of a page by its path, but the list of the files. */
function filesOf(out: string): ReadonlyMap<string, string> {
  const root = join(folder, out);
  const paths = readdirSync(root, { recursive: true, withFileTypes: true }).flatMap((entry) =>
    entry.isFile() && entry.name !== 'files.json' ? [join(entry.parentPath, entry.name)] : [],
  );
  return new Map(paths.map((path) => [path.slice(root.length), readFileSync(path, 'base64')]));
}

describe('a page that is made again', () => {
  it('writes nothing where nothing changed, and after one new mix its page and the lists alone', async () => {
    const first = await published('page');
    expect(first.written).toBe(first.files);
    expect((await published('page')).written).toBe(0);
    const { code, err } = await callHere(['add', 'Q77 wet shingle: 2 Kelp + 5 Foam', ...at]);
    expect([code, err]).toEqual([0, '']);
    const again = await published('page');
    expect(again.files).toBe(first.files + 1);
    // Its own page, the first page, the list, the data, the share file.
    expect(again.written).toBeLessThanOrEqual(5);
    expect(again.removed).toBe(0);
    await published('fresh');
    expect(filesOf('page')).toEqual(filesOf('fresh'));
  });
});
