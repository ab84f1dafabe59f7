import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { runCli } from '../cli/program/run.ts';
import { programShell } from './program-shell.ts';

const ROOT = new URL('../../', import.meta.url);
const READINGS = ['tide-pool.csv', 'spectra.csv'];

interface Step {
  readonly shows: string;
  readonly words: readonly string[];
}

const STEPS: readonly Step[] = [
  {
    shows: `Ten invented clays of three lines, 35 baked tiles, read by an instrument that is half a
unit unsure. From the tiles alone Kneadwell learns how the clays mix, and says how far the tiles
bear each other out and what it left aside.`,
    words: ['learn', ...READINGS, '--out', 'clay.json'],
  },
  {
    shows: `Three mixes nobody has baked. Each colour comes with its ±: how far off a real tile is
likely to be. The second holds two clays that were never baked together, so it is less sure.`,
    words: [
      'predict',
      'clay.json',
      '--of',
      '1 Anemone + 5 Foam',
      '--of',
      '2 Starfish + 1 Lagoon + 3 Foam',
      '--of',
      '3 (2 Kelp + 1 Foam) + 1 Limpet',
    ],
  },
  {
    shows: `The other way round: a muted green to be matched. Every recipe of up to 12 whole parts is
tried, and the closest are listed, each with a verdict that is never finer than its ±.`,
    words: ['find', 'clay.json', '--aim', '#8a9b6c', '--top', '5'],
  },
  {
    shows: `A green no clay here can give. "No" comes with the best there is, how it falls short, and
what would make it a yes.`,
    words: ['find', 'clay.json', '--aim', '#3ac46a', '--top', '3'],
  },
];

/** The whole way from readings to recipes on the demo studio, by the same calls a person types. */
async function demo(): Promise<number> {
  const shell = programShell();
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-demo-'));
  const home = process.cwd();
  try {
    for (const name of READINGS) {
      copyFileSync(fileURLToPath(new URL(`data/demo/${name}`, ROOT)), join(folder, name));
    }
    process.chdir(folder);
    for (const { shows, words } of STEPS) {
      const typed = words.map((word) => (/[^\w.-]/.test(word) ? `"${word}"` : word)).join(' ');
      shell.out(`${shows}\n\n$ npx kneadwell ${typed}\n\n`);
      const code = await runCli(words, shell);
      if (code !== 0) return code;
      shell.out('\n');
    }
  } finally {
    process.chdir(home);
    rmSync(folder, { recursive: true, force: true });
  }
  shell.out(`That was the demo, with readings from data/demo. With your own tiles: write their
readings down as docs/formats.md shows, and start with "npx kneadwell learn".
`);
  return 0;
}

process.exitCode = await demo();
