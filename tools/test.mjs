// npm test: gets the clone ready and runs every test; what follows `--` goes to the test runner.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { prepare, ROOT } from './prepare.mjs';

prepare();
const runner = join(ROOT, 'node_modules', 'vitest', 'vitest.mjs');
const args = [runner, 'run', ...process.argv.slice(2)];
const { status } = spawnSync(process.execPath, args, { cwd: ROOT, stdio: 'inherit' });
process.exitCode = status ?? 1;
