// Makes a small book with the built program, and every file that can be exported from it, for later versions
// to open: test/oracles/SOURCES.md lists what is in such a folder.
// Run after npm run build: node tools/version-book.mjs FOLDER
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import sharp from 'sharp';

const root = join(import.meta.dirname, '..');
const out = resolve(process.argv[2]);
mkdirSync(out, { recursive: true });

function kneadwell(...words) {
  const program = join(root, 'dist', 'main', 'kneadwell.js');
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
    cwd: out,
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(`kneadwell ${words.join(' ')} ended with ${status}: ${stderr}`);
  return stdout;
}
const inBook = (...words) => kneadwell(...words, '--folder', 'book');

const [comment, header, ...rows] = readFileSync(join(root, 'data/demo/tide-pool.csv'), 'utf8')
  .trimEnd()
  .split('\n');
const few = rows.filter((row) => /^(?:Foam|Kelp|Mussel) /.test(row));
writeFileSync(join(out, 'readings.csv'), `${[comment, header, ...few].join('\n')}\n`);
kneadwell('learn', 'readings.csv', '--out', 'clay.json');

inBook('add', 'line', 'name=Saltmarsh', 'bakeLowC=125', 'bakeHighC=135');
inBook('add', 'block', 'name=Foam', 'line=Saltmarsh', 'densityGPerCm3=1.7');
inBook('import', 'readings.csv', '--line', 'Saltmarsh');
inBook('add', 'short-name', 'K', 'of=Kelp');
inBook('add', 'short-name', 'F', 'of=Foam');
inBook('add', 'stock-entry', 'of=Kelp', 'changeG=57');
inBook('add', 'K7 sea moss: 3K 1F #weeds // a little pale');
inBook('add', 'K8 wet moss: 4K7 1K');
inBook('undo');
inBook('redo');
inBook('add', 'K9 dry moss: 1K7 1F');
inBook('undo');
const tray = { width: 24, height: 16, channels: 3, background: '#6d7f52' };
await sharp({ create: tray }).png().toFile(join(out, 'tray.png'));
inBook('add', 'photo', 'tray.png', 'name=Tray 1');
inBook('learn', '--book');

inBook('export', '--out', 'export.json');
inBook('export', '--out', 'export');
inBook('export', '--out', 'tables', '--as', 'csv');
inBook('backup', '--to', 'backup.zip');
writeFileSync(join(out, 'changes.json'), inBook('list', 'changes', '--json', '--top', '500'));
writeFileSync(join(out, 'k8-history.json'), inBook('show', 'K8', '--history', '--json'));
rmSync(join(out, 'tray.png'));
rmSync(join(out, 'book', 'book.lock'));
