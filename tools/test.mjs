// npm test: gets the clone ready and runs every test; what follows `--` goes to the test runner.
import { join } from 'node:path';
import { handOver, ROOT } from '../src/main/node-runtime.mjs';
import { prepare } from './prepare.mjs';
import { onSupportedNode } from './supported-node.mjs';

if (await onSupportedNode()) {
  prepare();
  // What tests start is the build that was just made; without this, as in `npx vitest`, the sources.
  process.env.KNEADWELL_BUILT_FOLDER = join(ROOT, 'dist');
  // Hundreds of processes load the same files: each keeps what Node made of them for the next.
  process.env.NODE_COMPILE_CACHE = join(ROOT, 'node_modules', '.cache', 'compiled');
  const runner = join(ROOT, 'node_modules', 'vitest', 'vitest.mjs');
  await handOver(process.execPath, [runner, 'run', ...process.argv.slice(2)], ROOT);
}
