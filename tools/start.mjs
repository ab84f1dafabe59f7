// npm start: gets the clone ready and serves an invented studio, so that there is something to look at.
// npm start -- --tour shows the way from readings to recipes in the terminal instead, and ends.
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { prepare, ROOT } from './prepare.mjs';

prepare();
const asked = process.argv.slice(2);
const tour = asked[0] === '--tour';
const program = join(ROOT, 'dist', 'main', tour ? 'demo.js' : 'kneadwell.js');
const words = tour ? [] : ['demo', '--serve', ...asked];
const { status } = spawnSync(process.execPath, [program, ...words], {
  cwd: ROOT,
  stdio: 'inherit',
});
process.exitCode = status ?? 1;
