// npm as it is set up on this machine. Plain Node and nothing else, as it runs before anything is installed.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { FETCHED_MAJOR, ROOT, runtimeFolder } from '../src/main/node-runtime.mjs';

/** Ends the program with one plain sentence. */
export function stop(sentence) {
  process.stderr.write(`${sentence}\n`);
  process.exit(1);
}

function npm(args, cwd) {
  // One fetched along with a runtime is there because the machine's own cannot read the lock file.
  const fetched = join(runtimeFolder(FETCHED_MAJOR), 'node_modules', 'npm', 'bin', 'npm-cli.js');
  // npm names its own script to what it runs; going through it needs no shell and no quoting.
  const script = existsSync(fetched) ? fetched : process.env.npm_execpath;
  if (script !== undefined && /npm-cli\.c?js$/.test(script)) {
    return spawnSync(process.execPath, [script, ...args], { cwd, encoding: 'utf8' });
  }
  const shell = process.platform === 'win32';
  return spawnSync('npm', args, { cwd, encoding: 'utf8', shell });
}

/** The major version of npm here; 0 where it does not answer. */
export function npmMajor() {
  return Number.parseInt(npm(['--version'], ROOT).stdout, 10) || 0;
}

/** Fetches what `args` ask npm for; where that fails it ends the program and says why, of `what`. */
export function fetchByNpm(args, cwd, what) {
  const run = npm([...args, '--no-audit', '--no-fund'], cwd);
  if (run.status === 0) return;
  const said = `${run.stdout || ''}${run.stderr || ''}`.trim();
  if (said !== '') process.stderr.write(`${said}\n`);
  if (run.error !== undefined) {
    stop(`${what} could not be fetched, as npm did not start; install npm and run this again.`);
  }
  const offline = /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ENETUNREACH|ETIMEDOUT|ENOTCACHED/.test(said);
  stop(
    offline
      ? `${what} could not be fetched, as the network does not answer; connect once and run this again, and after that no network is needed.`
      : `${what} could not be fetched; what npm says about it stands above.`,
  );
}
