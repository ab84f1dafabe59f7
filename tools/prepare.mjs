// Gets a clone ready to run: the packages of the lock file, and a build newer than the sources.
// Plain Node and nothing else, because it runs before anything is installed.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  existsSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join, relative } from 'node:path';
import { ROOT } from '../src/main/node-runtime.mjs';
import { fetchByNpm, stop } from './npm.mjs';

const at = (...parts) => join(ROOT, ...parts);

export function prepare() {
  install();
  build();
}

export function install() {
  if (isInstalled()) return;
  process.stderr.write('Fetching the packages Kneadwell needs...\n');
  // No package here needs a script of its own; npm would ask a compiler for better-sqlite3 in vain, as
  // that brings its engine ready-made.
  fetchByNpm(['ci', '--ignore-scripts'], ROOT, 'The packages');
}

/** Whether what is installed is what the lock file asks for, whichever of the two is newer. */
function isInstalled() {
  const installed = at('node_modules', '.package-lock.json');
  if (!existsSync(installed)) return false;
  const lock = at('package-lock.json');
  if (statSync(installed).mtimeMs >= statSync(lock).mtimeMs) return true;
  const have = JSON.parse(readFileSync(installed, 'utf8')).packages;
  const want = JSON.parse(readFileSync(lock, 'utf8')).packages;
  return Object.entries(want).every(([path, asked]) => {
    if (path === '') return true;
    const got = have[path];
    // A package for another kind of machine is in the lock file and never installed.
    return got === undefined ? asked.optional === true : got.version === asked.version;
  });
}

function build() {
  const mark = at('dist', '.built-from');
  const now = fingerprint();
  if (existsSync(mark) && readFileSync(mark, 'utf8') === now) return;
  process.stderr.write('Building...\n');
  // Built beside and renamed, so that a build that fails or is stopped leaves the last good one.
  const fresh = at(`dist-${process.pid}.tmp`);
  const stale = at(`dist-old-${process.pid}.tmp`);
  built('vite.program.mjs', fresh, 'main');
  built('vite.config.mjs', fresh, 'web');
  chmodSync(join(fresh, 'main', 'kneadwell.js'), 0o755);
  writeFileSync(join(fresh, '.built-from'), now);
  if (existsSync(at('dist'))) renameSync(at('dist'), stale);
  renameSync(fresh, at('dist'));
  rmSync(stale, { recursive: true, force: true });
}

/** One half of a build. */
function built(settings, fresh, name) {
  const vite = at('node_modules', 'vite', 'bin', 'vite.js');
  const args = [
    vite,
    'build',
    '--config',
    at(settings),
    '--outDir',
    join(fresh, name),
    '--logLevel',
    'error',
  ];
  const run = spawnSync(process.execPath, args, { cwd: ROOT, stdio: ['ignore', 2, 2] });
  if (run.status === 0) return;
  rmSync(fresh, { recursive: true, force: true });
  stop('The sources could not be built; what the bundler says about it stands above.');
}

/** Of everything a build depends on: names, sizes and times of the sources, and the settings. */
function fingerprint() {
  const hash = createHash('sha256');
  const settings = ['package.json', 'package-lock.json', 'vite.program.mjs', 'vite.config.mjs'];
  for (const file of [...settings.map((name) => at(name)), ...sources(at('src'))]) {
    const { size, mtimeMs } = statSync(file);
    hash.update(`${relative(ROOT, file)} ${size} ${mtimeMs}\n`);
  }
  return hash.digest('hex');
}

function sources(folder) {
  return readdirSync(folder, { withFileTypes: true })
    .sort((one, other) => (one.name < other.name ? -1 : 1))
    .flatMap((entry) => {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) return sources(path);
      return /(?<!\.test)\.(?:tsx?|mjs|css|html|json|webmanifest|svg|png)$/.test(entry.name)
        ? [path]
        : [];
    });
}
