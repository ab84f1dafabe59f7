import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildSite } from '../../src/domain/site/build-site.ts';
import { twoLinesShare } from '../conformance/two-lines-share.ts';
import { followerWalk } from './follower-walk.ts';
import { launched, NO_BROWSER } from './page.ts';
import { readerScripts } from './reader-scripts.ts';

/** Blocks that the follower owns, of the line that the author's recipes do not use. */
const OWNED = Array.from({ length: 14 }, (_, i) => `Clay ${2 * i + 2}`);
/** One to open the clays, one a block, one for the recipe. */
const MOST_TAPS = OWNED.length + 2;

const folder = mkdtempSync(join(tmpdir(), 'kneadwell follower '));
beforeAll(async () => {
  const parts = await readerScripts(join(folder, 'scripts'));
  for (const [path, content] of buildSite(twoLinesShare(), parts)) {
    const at = join(folder, 'page', path);
    mkdirSync(dirname(at), { recursive: true });
    writeFileSync(at, content);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(NO_BROWSER !== undefined)('a follower with 14 blocks of another line', () => {
  it('has the first recipe after a tap for each block and two more', async () => {
    const browser = await launched([]);
    const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
    const page = await context.newPage();
    const address = `${pathToFileURL(join(folder, 'page')).href}/index.html`;
    const { taps, recipe, says } = await followerWalk(page, address, OWNED, 'Rock pool 7');
    await browser.close();
    expect(taps).toBeLessThanOrEqual(MOST_TAPS);
    const clays = [...recipe.matchAll(/\d+ (Clay \d+)/g)].map(([, name]) => name);
    expect(clays.length).toBeGreaterThan(0);
    for (const name of clays) expect(OWNED).toContain(name);
    expect(says).toMatch(/Expect about \d+\.\d dE00 off/);
  });
});
