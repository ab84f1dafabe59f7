import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { call, ROOT } from './program.ts';

export const README = join(ROOT, 'README.md');
/** The second page: a figure of the demo studio. */
export const A_FIGURE = join(ROOT, 'docs/a-figure.md');

export interface SessionStep {
  /** The block unchanged, with its fences. */
  readonly block: string;
  readonly command: string;
  readonly shown: string;
  /** What the program says now. */
  readonly said: string;
}

/** Runs the commands of README.md, one after the other, in a folder with a copy of data/demo. */
export function readmeSession(): readonly SessionStep[] {
  return session(README, (folder) => {
    cpSync(join(ROOT, 'data/demo'), join(folder, 'data/demo'), { recursive: true });
  });
}

/** The same of the second page, in a folder with the demo studio. */
export function figureSession(): readonly SessionStep[] {
  return session(A_FIGURE, (folder) => {
    saidBy(['demo', '--folder', 'studio'], folder);
  });
}

function session(page: string, prepare: (folder: string) => void): readonly SessionStep[] {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell readme '));
  try {
    prepare(folder);
    const blocks = readFileSync(page, 'utf8').matchAll(/```console\n\$ (.+)\n([\s\S]*?)```/g);
    return [...blocks].map(([block, command, shown]) => {
      const [npx, name, ...words] = wordsOf(command);
      if (npx !== 'npx' || name !== 'kneadwell') throw new Error(`${command} is another program`);
      return { block, command, shown, said: saidBy(words, folder) };
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function saidBy(words: readonly string[], folder: string): string {
  const { code, out, err } = call(words, folder);
  if (code !== 0) throw new Error(`${words.join(' ')} ended with ${code}: ${err}`);
  return out;
}

/** The calls of the mix book in README.md, in their order; serving has no end of its own. */
export function readmeBookCalls(): readonly (readonly string[])[] {
  const text = readFileSync(README, 'utf8');
  const part = text.slice(text.indexOf('## The mix book'), text.indexOf('## How far to trust it'));
  return [...part.matchAll(/^ {4}npx kneadwell (.+)$/gm)]
    .map(([, typed]) => wordsOf(typed.replace(/ {2,}#.*$/, '')))
    .filter(([verb]) => verb !== 'serve');
}

function wordsOf(command: string): string[] {
  return [...command.matchAll(/"([^"]*)"|\S+/g)].map(([word, quoted]) => quoted ?? word);
}
