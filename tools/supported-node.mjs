// Sees that a tool runs on a Node that Kneadwell supports, and fetches one through npm where it has to.
// Plain JavaScript that any Node since 14 can read.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import {
  FETCHED_MAJOR,
  fetchedNode,
  handOver,
  isSupported,
  runtimeFolder,
  runtimePackage,
  tooOld,
} from '../src/main/node-runtime.mjs';
import { fetchByNpm, npmMajor, stop } from './npm.mjs';

/** Older ones cannot read the lock file. */
const OLDEST_NPM = 7;

/**
 * True on a supported Node. On any other the same tool is run again on the fetched one, to its end, and
 * the answer is false: there is nothing left to do.
 */
export async function onSupportedNode() {
  if (isSupported(process.versions.node)) return true;
  await handOver(runtimeOf(FETCHED_MAJOR), process.argv.slice(1));
  return false;
}

/** The program of a Node of this major version: the one at work, or one that is fetched where it is not there yet. */
export function runtimeOf(major) {
  if (process.versions.node.startsWith(`${major}.`)) return process.execPath;
  const there = fetchedNode(major);
  if (there !== undefined) return there;
  process.stderr.write(
    `This is Node ${process.versions.node}; fetching Node ${major}, once and for Kneadwell alone, into the folder .runtime...\n`,
  );
  // Fetched beside and renamed, so that a fetch that fails or is stopped leaves no half a runtime.
  const folder = runtimeFolder(major);
  const fresh = `${folder}-${process.pid}.tmp`;
  mkdirSync(fresh, { recursive: true });
  // Without one npm looks for a package further up, and finds Kneadwell.
  writeFileSync(join(fresh, 'package.json'), '{ "private": true }\n');
  const packages = [`${runtimePackage()}@${major}`];
  if (npmMajor() < OLDEST_NPM) packages.push('npm@11');
  const args = ['install', '--prefix', fresh, '--no-save', '--no-package-lock', ...packages];
  process.on('exit', () => rmSync(fresh, { recursive: true, force: true }));
  fetchByNpm(args, fresh, `Node ${major}`);
  if (existsSync(folder)) rmSync(folder, { recursive: true, force: true });
  mkdirSync(dirname(folder), { recursive: true });
  renameSync(fresh, folder);
  const node = fetchedNode(major);
  if (node !== undefined && spawnSync(node, ['--version']).status === 0) return node;
  rmSync(folder, { recursive: true, force: true });
  return stop(tooOld('the one that was fetched does not run on this machine.'));
}
