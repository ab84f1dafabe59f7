/**
 * How a mix book grows: the same figures for books of several sizes, each opened by a process of its own.
 * npx tsx bench/growth.ts [--mixes 1000,20000,100000] [--folder DIR, to fill once and measure again]
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { openBook } from '../src/book/book.ts';
import { changeBook } from '../src/book/change-book.ts';
import type { MixQuestion } from '../src/book/list-service.ts';
import { mixList } from '../src/book/lists/mix-list.ts';
import { searchBook } from '../src/book/search-book.ts';
import type { BookStep } from '../src/domain/records/change.ts';
import { openBookFolder } from '../src/store/book-folder.ts';
import { mix } from '../test/conformance/book-maker.ts';
import { bookChance, fillBook, weighBlocks } from './large-book.ts';
import { quantile } from './random.ts';

const TIMES = 21;

const { values } = parseArgs({
  options: {
    mixes: { type: 'string', default: '1000,20000,100000' },
    folder: { type: 'string' },
    measure: { type: 'string' },
  },
});

if (values.measure !== undefined) await measure(values.measure);
else for (const mixes of values.mixes.split(',').map(Number)) await grow(mixes);

async function grow(mixes: number): Promise<void> {
  const above = values.folder ?? mkdtempSync(join(tmpdir(), 'kneadwell-growth-'));
  const folder = join(above, String(mixes));
  try {
    if (!existsSync(folder)) {
      await fillBook(folder, mixes);
      const made = await openBookFolder(folder);
      await weighBlocks(openBook(made.ports));
      await made.close();
    }
    console.log(`${mixes} mixes`);
    say('on the disk', sizeOf(folder) / 1e6, 'MB');
    const loader = fileURLToPath(
      new URL('../node_modules/tsx/dist/esm/index.mjs', import.meta.url),
    );
    const self = fileURLToPath(import.meta.url);
    const call = ['--expose-gc', '--import', loader, self, '--measure', folder];
    const { status } = spawnSync(process.execPath, call, { stdio: 'inherit' });
    process.exitCode ||= status ?? 1;
  } finally {
    if (values.folder === undefined) rmSync(above, { recursive: true, force: true });
  }
}

/** One book in a process that has done nothing else. */
async function measure(folder: string): Promise<void> {
  const bare = process.memoryUsage.rss();
  const { upTo, word } = bookChance(11);
  const opening = clock();
  const open = await openBookFolder(folder);
  const book = openBook(open.ports);
  const list = (question: Partial<MixQuestion>) =>
    mixList(book, { from: 0, limit: 100, sort: 'changed', descending: true, ...question });
  await list({});
  opening('first list, from opening');
  await book.index.ready;
  opening('index read, from opening');
  const filtering = clock();
  await list({ stockG: 10 });
  filtering('stock filter, cold');
  await list({ sort: 'name' });
  await repeated('search by word', () => searchBook(book, { text: word(), limit: 50, offset: 0 }));
  await repeated('save of one mix', () => {
    // Without an id of its own, so that a folder can be measured twice.
    const { id: _, ...made } = mix('x', [['block', `b${upTo(48)}`, 1]]);
    return changeBook(book, { what: 'Saved', steps: [made as BookStep] });
  });
  globalThis.gc?.();
  const { rss, heapUsed, arrayBuffers } = process.memoryUsage();
  say('memory held', rss / 1e6, `MB, of which the program alone ${(bare / 1e6).toFixed(0)}`);
  say('  objects and arrays', (heapUsed + arrayBuffers) / 1e6, 'MB');
  await open.close();
}

async function repeated(what: string, ask: () => Promise<unknown>): Promise<void> {
  const times: number[] = [];
  const used = process.cpuUsage();
  for (let i = 0; i < TIMES; i++) {
    const at = performance.now();
    await ask();
    times.push(performance.now() - at);
  }
  say(what, quantile(times, 0.5), `ms, median of ${TIMES}, ${workedMs(used, TIMES)}`);
}

/** Says how long something took; the processor's time depends less on what else the machine does. */
function clock(): (what: string) => void {
  const from = performance.now();
  const used = process.cpuUsage();
  return (what) => say(what, performance.now() - from, `ms, ${workedMs(used)}`);
}

function workedMs(before: NodeJS.CpuUsage, times = 1): string {
  const { user, system } = process.cpuUsage(before);
  return `${((user + system) / 1000 / times).toFixed(1)} of the processor`;
}

function say(what: string, value: number, unit: string): void {
  console.log(`  ${what.padEnd(32)} ${value.toFixed(value < 10 ? 2 : 0).padStart(8)} ${unit}`);
}

function sizeOf(folder: string): number {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, { parentPath, name }) => sum + statSync(join(parentPath, name)).size, 0);
}
