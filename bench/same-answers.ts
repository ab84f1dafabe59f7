// Asks two builds of the program the same questions and tells where their answers differ.
//
//   tsx bench/same-answers.ts OLD NEW [ANSWERS.json]
//
// OLD and NEW are folders of a clone, or a file of answers that an earlier run wrote. With ANSWERS.json
// the answers of OLD are written there. Times and counts of work differ from run to run and are left out.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const HERE = fileURLToPath(new URL('../', import.meta.url));
const LOADER = new URL('../node_modules/tsx/dist/esm/index.mjs', import.meta.url).href;
const DEMO = ['data/demo/tide-pool.csv', 'data/demo/spectra.csv'].map((name) => join(HERE, name));
const STOCK = `clay,line,grams,pack-grams,price,density
Foam,Saltmarsh,200,57,2.90,1.6
Kelp,Saltmarsh,40,57,3.10,1.3
Lagoon,Saltmarsh,10,57,3.10,1.2
Periwinkle,Saltmarsh,55,57,3.30,1.4
Mussel,Brindle,60,57,2.50,1.25
Urchin,Brindle,25,57,4.10,1.5
Anemone,Brindle,,57,4.20,1.35
Starfish,Lantern,57,57,3.70,1.45
Limpet,Lantern,30,57,3.60,1.3
Barnacle,Lantern,100,57,2.40,1.55
`;
const VERDICTS =
  'trial,A,B,C,nearest,how\n1,2 Kelp + 5 Foam,1 Kelp + 3 Foam,1 Limpet + 4 Foam,A,lighter\n2,3 Kelp + 5 Foam,,,,\n';

/** What is asked, in the words of NEW; `was` has those of before where a word has changed since. */
const QUESTIONS: readonly { readonly ask: readonly string[]; readonly was?: readonly string[] }[] =
  [
    ask('learn', ...DEMO, '--out', 'again.json'),
    ask('learn', DEMO[0], '--out', 'first.json'),
    ask('learn', ...DEMO, '--out', 'since.json', '--since', 'first.json'),
    ask('learn', DEMO[0], '--out', 'weight.json', '--basis', 'weight'),
    ask('inspect', 'clay.json'),
    ask('inspect', 'clay.json', '--light', 'A', '--observer', '10'),
    ask('inspect', 'nowhere.json'),
    ask('predict', 'clay.json', '--of', '1 Kelp + 3 Foam'),
    ask('predict', 'clay.json', '--of', 'Kelp', '--of', '3 (2 Kelp + 1 Foam) + 1 Limpet'),
    ask('predict', 'clay.json', '--of', '1 Kelp + 3 Foam', '--light', 'D65', '--observer', '10'),
    ask('predict', 'clay.json', '--from', 'recipes.csv'),
    ask('predict', 'clay.json', '--of', '1 Klep + 3 Foam'),
    ask('predict', 'clay.json', '--of', '1 Kelp + 1 Foam', '--basis', 'weight'),
    find('#8a9b6c'),
    find('60,-20,20'),
    find('5GY 6/4'),
    find('60,-20,20', '--light', 'A'),
    find('60,-20,20', '--lights', 'A, FL11'),
    find('90,80,80'),
    find('50,0,0', '--clays', '2', '--parts', '8', '--top', '3'),
    find('50,0,0', '--clays', '3', '--tolerance', '3.5', '--without', 'Mussel'),
    find('60,-20,20', '--only', 'Kelp, Foam, Limpet'),
    find('60,-20,20', '--must', 'Limpet'),
    find('60,-20,20', '--stock', 'stock.csv', '--lines', 'Saltmarsh'),
    find('60,-20,20', '--stock', 'stock.csv', '--most-lines', '1'),
    find(
      '60,-20,20',
      '--stock',
      'stock.csv',
      '--at-least',
      '50 % Saltmarsh',
      '--at-most',
      '30 % white',
    ),
    find('60,-20,20', '--stock', 'stock.csv', '--basis', 'weight'),
    find('60,-20,20', '--stock', 'stock.csv', '--batch', '120'),
    find('60,-20,20', '--half-part', '0.8'),
    find('50,0,0', '--clays', '3', '--parts', '6', '--exhaustive'),
    find('greenish'),
    find('60,-20,20', '--must', 'Kelp', '--without', 'Kelp'),
    {
      ...find('90,80,80', '--clays', '3', '--relax', 'chroma'),
      was: find('90,80,80', '--clays', '3', '--give-up', 'chroma').ask,
    },
    ask('next-tile', 'clay.json'),
    ask('next-tile', 'clay.json', '--tiles', '2', '--for', '1 Kelp + 3 Foam', '--parts', '8'),
    ask('next-tile', 'clay.json', '--aim', '#8a9b6c', '--tiles', '1'),
    ask('next-tile', 'clay.json', '--only', 'Kelp, Foam, Limpet', '--tiles', '2'),
    ask('try', 'clay.json', '--aim', '#8a9b6c'),
    ask(
      'try',
      'clay.json',
      '--aim',
      '60,-20,20',
      '--aim-spread',
      '0.5',
      '--clays',
      '3',
      '--parts',
      '8',
    ),
    ask('try', 'clay.json', '--aim', '60,-20,20', '--verdicts', 'verdicts.csv'),
    ask('try', 'clay.json', '--aim', '60,-20,20', '--only', 'Kelp, Foam, Limpet'),
    ask('nearest', '#8a9b6c', '--in', DEMO[0]),
    ask('nearest', '60,-20,20', '--in', DEMO[0], '--in', DEMO[1], '--top', '3', '--light', 'A'),
    ask('nearest', '90,80,80', '--in', DEMO[0], '--within', '1'),
    ask('tray-sheet', '--out', 'sheet.pdf', '--codes', 'K1, K2'),
  ];

function ask(...words: readonly string[]) {
  return { ask: words };
}
function find(aim: string, ...words: readonly string[]) {
  return ask('find', 'clay.json', '--aim', aim, ...words);
}

/** Exit code and what was said, by question. */
type Answers = Readonly<Record<string, { readonly code: number | null; readonly said: unknown }>>;

const [old, next, file] = process.argv.slice(2);
if (old === undefined || next === undefined) {
  console.error('tsx bench/same-answers.ts OLD NEW [ANSWERS.json]');
  process.exit(2);
}
const before = answersOf(old, true);
if (file !== undefined) writeFileSync(file, JSON.stringify(before, undefined, 1));
const after = answersOf(next, false);
let differing = 0;
for (const [question, was] of Object.entries(before)) {
  const lines = differences(was, after[question], '');
  if (lines.length === 0) continue;
  differing++;
  console.log([`${question}`, ...lines.slice(0, 12).map((line) => `  ${line}`)].join('\n'));
}
console.log(`${Object.keys(before).length} questions, ${differing} with another answer`);

function answersOf(build: string, isOld: boolean): Answers {
  if (statSync(build).isFile()) return JSON.parse(readFileSync(build, 'utf8')) as Answers;
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell same answers '));
  try {
    writeFileSync(join(folder, 'stock.csv'), STOCK);
    writeFileSync(join(folder, 'verdicts.csv'), VERDICTS);
    writeFileSync(join(folder, 'recipes.csv'), 'of,basis\n1 Kelp + 1 Foam,volume\n2 Limpet,\n');
    called(build, folder, ['learn', ...DEMO, '--out', 'clay.json']);
    return Object.fromEntries(
      QUESTIONS.map(({ ask: words, was }) => {
        const { status, stdout, stderr } = called(build, folder, [
          ...((isOld ? was : undefined) ?? words),
          '--json',
        ]);
        return [words.join(' ').replaceAll(HERE, ''), { code: status, said: read(stdout, stderr) }];
      }),
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function called(build: string, cwd: string, words: readonly string[]) {
  const program = ['--import', LOADER, join(resolve(build), 'src/main/kneadwell.ts')];
  return spawnSync(process.execPath, [...program, ...words], { cwd, encoding: 'utf8' });
}

function read(out: string, err: string): unknown {
  const lines = (out === '' ? err : out).trim().split('\n');
  return lines.map((line) => JSON.parse(line) as unknown);
}

/** Where two values differ, by path; numbers within rounding of each other are the same. */
function differences(one: unknown, other: unknown, path: string): string[] {
  if (/\.(?:searchMs|tried)$/.test(path)) return [];
  if (typeof one === 'number' && typeof other === 'number') {
    return Math.abs(one - other) <= 1e-9 * Math.max(1, Math.abs(one))
      ? []
      : [`${path}: ${one} -> ${other}`];
  }
  if (isObject(one) && isObject(other)) {
    const keys = [...new Set([...Object.keys(one), ...Object.keys(other)])];
    return keys.flatMap((key) => differences(one[key], other[key], `${path}.${key}`));
  }
  return one === other ? [] : [`${path}: ${short(one)} -> ${short(other)}`];
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

function short(value: unknown): string {
  return (JSON.stringify(value) ?? 'nothing').slice(0, 120);
}
