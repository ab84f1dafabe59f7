import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, cpSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { runCli } from '../../src/cli/program/run.ts';
import type { CliShell } from '../../src/cli/shell.ts';
import { terminalShell } from '../../src/main/terminal.ts';
import { programOf } from '../built.ts';
import { madeOnce } from '../made-once.ts';

export const ROOT = fileURLToPath(new URL('../../', import.meta.url));
export const DEMO = ['tide-pool.csv', 'spectra.csv'].map((name) => `${ROOT}data/demo/${name}`);

export const PROGRAM = programOf('kneadwell');
/** No colour, and the same for everybody. */
const ENV = { ...process.env, NO_COLOR: '1', FORCE_COLOR: undefined, LC_ALL: 'C' };

export interface Called {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** A copy of the clay file of the demo's readings, which is learned once. */
export async function demoClayFile(to: string): Promise<void> {
  const learned = await madeOnce('demo-clay.json', async (out) => {
    const { code, err } = await callHere(['learn', ...DEMO, '--out', out]);
    if (code !== 0) throw new Error(err);
  });
  copyFileSync(learned, to);
}

/** The folder `demo` in a copy of the demo studio, which is made and learned once. */
export async function demoStudio(to: string): Promise<void> {
  const made = await madeOnce('demo-studio', async (folder) => {
    const { code, err } = await callHere(['demo', '--folder', folder]);
    if (code !== 0) throw new Error(err);
  });
  cpSync(made, to, { recursive: true });
}

/** The program as a process of its own. */
export function call(words: readonly string[], cwd: string): Called {
  const { status, stdout, stderr } = spawnSync(process.execPath, [...PROGRAM, ...words], {
    cwd,
    env: ENV,
    encoding: 'utf8',
    maxBuffer: 1e8,
  });
  return { code: status, out: stdout, err: stderr };
}

export function start(words: readonly string[], cwd: string) {
  return spawn(process.execPath, [...PROGRAM, ...words], { cwd, env: ENV });
}

/** Loaded before the program: says on standard error when the program begins to listen for Ctrl-C. */
const SAYS_WHEN_STOPPABLE = `data:text/javascript,process.on('newListener',(name)=>name==='SIGINT'&&process.stderr.write('listens'))`;

/** The same, at the moment when Ctrl-C no longer ends the program but asks for the best so far. */
export async function startStoppable(words: readonly string[], cwd: string) {
  const child = spawn(process.execPath, ['--import', SAYS_WHEN_STOPPABLE, ...PROGRAM, ...words], {
    cwd,
    env: ENV,
  });
  await new Promise<void>((done, failed) => {
    child.stderr.once('data', () => done());
    child.once('close', (code) => failed(new Error(`ended early, with ${code}`)));
  });
  return child;
}

/** The same without a process, for the many calls that tell of no process; paths are absolute. */
export async function callHere(
  words: readonly string[],
  change: (shell: CliShell) => CliShell = (shell) => shell,
): Promise<Called> {
  let out = '';
  let err = '';
  const terminal = terminalShell('0.0.0');
  const shell = change({
    ...terminal,
    // Ctrl-C is for whoever runs the tests.
    ports: { ...terminal.ports, stopped: () => false },
    screen: { colour: false },
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
  });
  return { code: await runCli(words, shell), out, err };
}
