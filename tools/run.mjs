// Gets the packages and runs a script of one of them, or of this folder, on a Node that Kneadwell supports:
// node tools/run.mjs knip/bin/knip.js WORDS...
import { join } from 'node:path';
import { handOver, ROOT } from '../src/main/node-runtime.mjs';
import { install } from './prepare.mjs';
import { onSupportedNode } from './supported-node.mjs';

if (await onSupportedNode()) {
  install();
  const [script, ...words] = process.argv.slice(2);
  const folder = script.startsWith('tools/') ? ROOT : join(ROOT, 'node_modules');
  await handOver(process.execPath, [join(folder, script), ...words], ROOT);
}
