// Tries the clone on other versions of Node, each fetched once into .runtime:
// node tools/try-nodes.mjs [--times N] [--clean] [--tests] MAJOR...
//   --clean   in a copy of the sources, where nothing is installed yet
//   --tests   also the tests of the store, of learning, and one journey through the page, on those that
//             Kneadwell runs on itself
// Prints the exit code and seconds of each step; ends with 1 where one of them failed.
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { parseArgs } from 'node:util';
import { environmentOf, isSupported, ROOT } from '../src/main/node-runtime.mjs';
import { runtimeOf } from './supported-node.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    times: { type: 'string', default: '1' },
    clean: { type: 'boolean', default: false },
    tests: { type: 'boolean', default: false },
  },
});
const TESTS = [
  'src/store',
  'test/conformance/book-store.test.ts',
  'test/faults/book-folder.test.ts',
  'test/journeys/last-version.test.ts',
  'test/journeys/demo.test.ts',
  'test/journeys/page-first-minutes.test.ts',
];

const scratch = mkdtempSync(join(tmpdir(), 'kneadwell nodes '));
process.on('exit', () => rmSync(scratch, { recursive: true, force: true }));
const clone = values.clean ? join(scratch, 'clone') : ROOT;
const made = /^(?:\.git|\.runtime|node_modules|dist|coverage|.*\.tmp)$/;
if (values.clean) {
  cpSync(ROOT, clone, { recursive: true, filter: (path) => !made.test(relative(ROOT, path)) });
}

let failed = false;
let folders = 0;

function run(node, args) {
  const done = spawnSync(node, args, { cwd: clone, env: environmentOf(node), encoding: 'utf8' });
  return { code: done.status, said: `${done.stdout}${done.stderr}` };
}

/** The invented studio is served and its page comes; then the program is asked to end. */
async function start(node, folder) {
  const args = [join('tools', 'start.mjs'), '--port', '0', '--folder', folder];
  const child = spawn(node, args, { cwd: clone, env: environmentOf(node) });
  let said = '';
  const ended = new Promise((resolve) =>
    child.on('exit', (code, signal) => resolve(code ?? signal)),
  );
  const seen = new Promise((resolve, reject) => {
    for (const stream of [child.stdout, child.stderr]) {
      stream.on('data', (text) => {
        said += text;
        const [url] = /http:\/\/127\.0\.0\.1:\d+/.exec(said) ?? [];
        if (url !== undefined) fetch(url).then(resolve, reject);
      });
    }
    ended.then(() => reject(new Error('it ended before it was served')));
  });
  try {
    const page = await seen;
    if (page.status !== 200) return { code: `page ${page.status}`, said };
  } catch (fault) {
    return { code: fault.message, said };
  }
  child.kill('SIGTERM');
  return { code: await ended, said };
}

async function step(name, work) {
  const from = performance.now();
  const { code, said } = await work();
  const seconds = ((performance.now() - from) / 1000).toFixed(1);
  process.stdout.write(`  ${name.padEnd(8)} exit ${code}  ${seconds} s\n`);
  if (code === 0) return;
  failed = true;
  process.stdout.write(`${said}\n`);
}

for (const major of positionals) {
  const node = runtimeOf(Number(major));
  const version = run(node, ['--version']).said.trim().slice(1);
  const tests = values.tests && isSupported(version);
  process.stdout.write(`Node ${version}\n`);
  for (let time = 0; time < Number(values.times); time++) {
    const folder = join(scratch, `book-${folders++}`);
    const program = join('dist', 'main', 'kneadwell.js');
    const test = join('tools', 'test.mjs');
    await step('start', () => start(node, folder));
    await step('demo', () => run(node, [program, 'demo', '--folder', `${folder}-demo`]));
    await step('README', () => run(node, [test, 'test/journeys/readme.test.ts']));
    if (tests) await step('tests', () => run(node, [test, ...TESTS]));
  }
}
process.exitCode = failed ? 1 : 0;
