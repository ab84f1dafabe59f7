// npm start: gets the clone ready and serves an invented studio, so that there is something to look at.
// npm start -- --tour shows the way from readings to recipes in the terminal instead, and ends.
import { join } from 'node:path';
import { handOver, ROOT } from '../src/main/node-runtime.mjs';
import { prepare } from './prepare.mjs';
import { onSupportedNode } from './supported-node.mjs';

if (await onSupportedNode()) {
  prepare();
  const asked = process.argv.slice(2);
  const tour = asked[0] === '--tour';
  const program = join(ROOT, 'dist', 'main', tour ? 'demo.js' : 'kneadwell.js');
  const words = tour ? [] : ['demo', '--serve', ...asked];
  await handOver(process.execPath, [program, ...words], ROOT);
}
