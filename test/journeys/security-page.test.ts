import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from './program.ts';

const page = readFileSync(join(ROOT, 'docs/security.md'), 'utf8');
const tests = (readdirSync(join(ROOT, 'test'), { recursive: true }) as string[])
  .filter((name) => name.endsWith('.test.ts'))
  .map((name) => readFileSync(join(ROOT, 'test', name), 'utf8'))
  .join('\n');

describe('docs/security.md', () => {
  const rows = page.split('\n').filter((line) => /^\| \d/.test(line));
  const quoted = [...page.matchAll(/"([a-z][^"]{15,})"/g)].map(([, title]) => title);

  it('names only tests that are there', () => {
    expect(quoted.length).toBeGreaterThan(30);
    for (const title of quoted) expect(tests, title).toContain(`'${title}'`);
  });

  it('says of every item how it is met, or that it is not', () => {
    expect(rows.length).toBeGreaterThan(40);
    for (const row of rows) {
      const cells = row.split('|').map((cell) => cell.trim());
      expect(cells.slice(1, -1), row).toHaveLength(4);
      for (const cell of cells.slice(1, 4)) expect(cell, row).not.toBe('');
    }
  });
});
