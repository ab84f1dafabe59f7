import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { call, ROOT } from './program.ts';

export const README = join(ROOT, 'README.md');

export interface SessionStep {
  /** The block as it stands, fences included. */
  readonly block: string;
  readonly command: string;
  readonly shown: string;
  /** What the program says now. */
  readonly said: string;
}

/** Runs the commands of README.md, one after the other, in a folder with a copy of data/demo. */
export function readmeSession(): readonly SessionStep[] {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell readme '));
  try {
    cpSync(join(ROOT, 'data/demo'), join(folder, 'data/demo'), { recursive: true });
    const blocks = readFileSync(README, 'utf8').matchAll(/```console\n\$ (.+)\n([\s\S]*?)```/g);
    return [...blocks].map(([block, command, shown]) => {
      const [npx, name, ...words] = wordsOf(command);
      if (npx !== 'npx' || name !== 'kneadwell') throw new Error(`${command} is another program`);
      const { code, out, err } = call(words, folder);
      if (code !== 0) throw new Error(`${command} ended with ${code}: ${err}`);
      return { block, command, shown, said: out };
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function wordsOf(command: string): string[] {
  return [...command.matchAll(/"([^"]*)"|\S+/g)].map(([word, quoted]) => quoted ?? word);
}
