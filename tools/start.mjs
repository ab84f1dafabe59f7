// npm start: gets the clone ready and shows, with invented tiles, what Kneadwell does.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { prepare, ROOT } from './prepare.mjs';

prepare();
const demo = join(ROOT, 'dist', 'main', 'demo.js');
const { status } = spawnSync(process.execPath, [demo], { cwd: ROOT, stdio: 'inherit' });
process.exitCode = status ?? 1;
