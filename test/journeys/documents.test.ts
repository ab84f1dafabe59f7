import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BOOK_COMMANDS } from '../../src/cli/book/commands.ts';
import { VERB_COMMANDS } from '../../src/cli/program/run.ts';
import { ROOT } from './program.ts';

const text = (path: string) => readFileSync(join(ROOT, path), 'utf8');
/** `next-tile` is written nextTile in code. */
const camel = (verb: string) =>
  // A word of the language itself cannot name a function.
  verb === 'try' ? 'tryBalls' : verb.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
const firstCells = (page: string) =>
  [...page.matchAll(/^\| `?([^`|]+?)`? \|/gm)].map(([, cell]) => cell.trim());

describe('docs/map.md', () => {
  it.each(VERB_COMMANDS)('has a row for $name whose verb is there', ({ name, help }) => {
    const row = text('docs/map.md')
      .split('\n')
      .find((line) => line.startsWith(`| ${name} |`));
    expect(row, `a row for ${name}`).toContain(`\`kneadwell ${name}\``);
    const file = /`(src\/verbs\/[a-z-]+\.ts)`/.exec(row ?? '')?.[1] ?? 'no file';
    expect(text(file)).toContain(`export const ${camel(name)} = verb({`);
    expect(help().startsWith(`kneadwell ${name} `)).toBe(true);
  });

  it.each(BOOK_COMMANDS)('has a row for $name whose use case is there', ({ name, help }) => {
    const row = text('docs/map.md')
      .split('\n')
      .find((line) => line.startsWith(`| ${name} |`));
    expect(row, `a row for ${name}`).toContain(`\`kneadwell ${name}\``);
    expect(row).toMatch(/`src\/(?:book|domain)\/(?:[a-z-]+\/)?[a-z-]+\.ts`/);
    expect(help()).toMatch(new RegExp(`^kneadwell ${name}\\b`));
  });

  it('names no file or folder that is not there', () => {
    const paths = [...text('docs/map.md').matchAll(/`((?:src|test|bench|tools|data)\/?[^` ]*)`/g)];
    expect(paths.length).toBeGreaterThan(10);
    for (const [, path] of paths) expect(existsSync(join(ROOT, path)), path).toBe(true);
  });
});

describe('docs/references.md', () => {
  const cited = new Map<string, string>();
  for (const file of filesIn('src', '.ts')) {
    for (const line of text(file).split('\n')) {
      // Only comments cite; in code such brackets are indices and sets of letters.
      const comment = /^\s*(?:\*|\/\/|\/\*)(.*)|\/\/(.*)$/.exec(line);
      const said = comment?.[1] ?? comment?.[2] ?? '';
      for (const [, key] of said.matchAll(/\[([A-Z][A-Za-z0-9-]{2,})\]/g)) cited.set(key, file);
    }
  }

  it('holds every key that a comment cites', () => {
    const known = new Set(firstCells(text('docs/references.md')));
    expect(cited.size).toBeGreaterThan(15);
    const missing = [...cited].filter(([key]) => !known.has(key));
    expect(missing).toEqual([]);
  });
});

describe('docs/dependencies.md', () => {
  it('says of every package why, and of no other', () => {
    const { dependencies, devDependencies } = JSON.parse(text('package.json'));
    const named = firstCells(text('docs/dependencies.md')).filter(
      (k) => !/^(package|---)$/.test(k),
    );
    const used = Object.keys({ ...dependencies, ...devDependencies });
    expect(named.toSorted()).toEqual(used.toSorted());
  });
});

describe('words of the page that documents name', () => {
  const page = filesIn('src/web', '.tsx').map(text).join('\n');

  it.each(filesIn('docs', '.md').filter((path) => !path.includes('adr')))(
    'are there in %s',
    (path) => {
      const named = [...text(path).matchAll(/(?<!\*)\*([A-Z][^*\n]{2,40})\*(?!\*)/g)].map(
        ([, it]) => it,
      );
      expect(named.filter((words) => !page.includes(words))).toEqual([]);
    },
  );
});

describe('links between documents', () => {
  it.each(['README.md', 'CONTRIBUTING.md', 'CHANGELOG.md', ...filesIn('docs', '.md')])(
    'in %s lead somewhere',
    (page) => {
      for (const [, link] of text(page).matchAll(/\]\(([^)#]+)[^)]*\)/g)) {
        if (/^https?:/.test(link)) continue;
        expect(existsSync(join(ROOT, dirname(page), link)), link).toBe(true);
      }
    },
  );
});

function filesIn(folder: string, ending: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith(ending))
    .map((path) => join(folder, path));
}
