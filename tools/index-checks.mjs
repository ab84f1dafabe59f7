// Checks that nothing is taken from a list by its place as if it were always there, in the folders of
// src/ that hold to it. src/core does not: its loops over typed arrays would pay for every look.
import { join } from 'node:path';
import ts from 'typescript';
import { ROOT } from '../src/main/node-runtime.mjs';

const CHECKED = [
  'api',
  'cli',
  'client',
  'domain',
  'formats',
  'imaging',
  'main',
  'server',
  'store',
  'verbs',
];

const { config } = ts.readConfigFile(join(ROOT, 'tsconfig.json'), ts.sys.readFile);
const { fileNames, options } = ts.parseJsonConfigFileContent(config, ts.sys, ROOT);
const held = new RegExp(`/src/(?:${CHECKED.join('|')})/(?!.*\\.test\\.ts$)`);
const program = ts.createProgram(
  fileNames.filter((path) => held.test(path)),
  { ...options, noUncheckedIndexedAccess: true },
);
const files = program.getSourceFiles().filter(({ fileName }) => held.test(fileName));
const missing = CHECKED.filter(
  (folder) => !files.some(({ fileName }) => fileName.includes(`/src/${folder}/`)),
);
const found = files.flatMap((file) => program.getSemanticDiagnostics(file));
const host = {
  getCurrentDirectory: () => ROOT,
  getCanonicalFileName: (path) => path,
  getNewLine: () => '\n',
};
if (found.length > 0) console.error(ts.formatDiagnostics(found, host));
for (const folder of missing) console.error(`src/${folder}: nothing was read`);
if (found.length + missing.length > 0) process.exitCode = 1;
