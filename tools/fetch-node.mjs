// Prints the folder of the program of a Node of this major version, fetched through npm where it is not there:
// PATH="$(node tools/fetch-node.mjs 24):$PATH"
import { dirname } from 'node:path';
import { runtimeOf } from './supported-node.mjs';

process.stdout.write(`${dirname(runtimeOf(Number(process.argv[2])))}\n`);
