// Which Node the program runs on, and the newer one that lies in the clone where yours is too old.
// Plain JavaScript that any Node since 14 can read, because it is asked before anything else is loaded.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { constants } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of the clone or package; this file lies as deep in `dist` as in `src`. */
export const ROOT = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** The long-term release that is fetched where the machine's own Node is too old. */
export const FETCHED_MAJOR = 24;

/** @type {{ engines: { node: string } }} */
const { engines } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));

/** Of `^22.12.0 || ^24.0.0 || >=26.0.0`; package.json may say it in no other way. */
const SUPPORTED = engines.node.split(' || ').map((text) => {
  const [, sign, major, minor] = /^(\^|>=)(\d+)\.(\d+)\.0$/.exec(text) || [];
  return { orNewer: sign === '>=', major: Number(major), minor: Number(minor) };
});

/**
 * Whether a version of Node, such as `24.21.0`, is one the program runs on.
 * @param {string} version
 * @returns {boolean}
 */
export function isSupported(version) {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  return SUPPORTED.some(
    (range) =>
      (major === range.major && minor >= range.minor) || (range.orNewer && major > range.major),
  );
}

/** `22.12, 24, or 26 and newer`, for people. */
const SUPPORTED_WORDS = SUPPORTED.map(({ orNewer, major, minor }) => {
  const from = minor === 0 ? `${major}` : `${major}.${minor}`;
  return orNewer ? `or ${from} and newer` : from;
}).join(', ');

/**
 * The sentence for somebody whose Node is too old, with what to do about it at the end.
 * @param {string} help
 * @returns {string}
 */
export function tooOld(help) {
  return `Kneadwell needs Node ${SUPPORTED_WORDS}, and this is Node ${process.versions.node}; ${help}`;
}

/** The npm package that holds Node for this kind of machine, and nothing else. */
export function runtimePackage() {
  const { platform, arch } = process;
  const family = platform === 'darwin' && arch === 'arm64' ? 'node-bin' : 'node';
  return `${family}-${platform === 'win32' ? 'win' : platform}-${arch}`;
}

/**
 * Where fetched runtimes of one major version lie in the clone.
 * @param {number} major
 * @returns {string}
 */
export function runtimeFolder(major) {
  return join(ROOT, '.runtime', String(major));
}

/**
 * The program of a fetched runtime; nothing where it was not fetched.
 * @param {number} [major]
 * @returns {string | undefined}
 */
export function fetchedNode(major = FETCHED_MAJOR) {
  const file = process.platform === 'win32' ? 'node.exe' : 'node';
  const path = join(runtimeFolder(major), 'node_modules', runtimePackage(), 'bin', file);
  return existsSync(path) ? path : undefined;
}

/**
 * The environment in which a script that asks for `node` gets this one.
 * @param {string} node
 * @returns {NodeJS.ProcessEnv}
 */
export function environmentOf(node) {
  const env = { ...process.env };
  // Windows spells it Path, and in a copy of the environment the case counts.
  const name = Object.keys(env).find((key) => key.toUpperCase() === 'PATH') || 'PATH';
  env[name] = [dirname(node), env[name] || ''].join(delimiter);
  return env;
}

/**
 * Lets a program of Node take this one's place: same terminal, same ending. Ctrl-C reaches both by
 * itself; what only this one is told to do is passed on.
 * @param {string} node
 * @param {readonly string[]} args
 * @param {string} [cwd]
 * @returns {Promise<void>}
 */
export function handOver(node, args, cwd = process.cwd()) {
  const child = spawn(node, args, { cwd, env: environmentOf(node), stdio: 'inherit' });
  process.on('SIGINT', () => {});
  for (const signal of /** @type {const} */ (['SIGTERM', 'SIGHUP'])) {
    process.on(signal, () => child.kill(signal));
  }
  return new Promise((resolve) => {
    const end = (/** @type {number} */ code) => {
      process.exitCode = code;
      resolve();
    };
    child.on('error', (fault) => {
      process.stderr.write(`${node} could not be started: ${fault.message}.\n`);
      end(1);
    });
    child.on('exit', (code, signal) => {
      end(code === null ? 128 + constants.signals[signal || 'SIGTERM'] : code);
    });
  });
}
