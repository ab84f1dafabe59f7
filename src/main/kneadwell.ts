#!/usr/bin/env node
// Too old a Node cannot load the program itself, so nothing of it is imported before that is known.
import { fetchedNode, handOver, isSupported, tooOld } from './node-runtime.mjs';

if (isSupported(process.versions.node)) {
  await import('./command-line.ts');
} else {
  const node = fetchedNode();
  if (node === undefined) {
    process.stderr.write(
      `${tooOld('"npm start" in its folder fetches a newer one, or get one from nodejs.org.')}\n`,
    );
    process.exitCode = 1;
  } else {
    await handOver(node, process.argv.slice(1));
  }
}
