import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { OWNER_JOBS } from '../../src/api/job-routes.ts';
import type { ApiName } from '../../src/api/paths.ts';
import { ROUTES } from '../../src/api/routes.ts';
import { ROOT } from './program.ts';

const page = readFileSync(join(ROOT, 'docs/security.md'), 'utf8');
const tests = ['test', 'src']
  .flatMap((folder) =>
    (readdirSync(join(ROOT, folder), { recursive: true }) as string[])
      .filter((name) => name.endsWith('.test.ts'))
      .map((name) => readFileSync(join(ROOT, folder, name), 'utf8')),
  )
  .join('\n');

describe('docs/security.md', () => {
  const rows = page.split('\n').filter((line) => /^\| \d/.test(line));
  const quoted = [...page.matchAll(/"([a-z][^"]{15,})"/g)].map(([, title]) => title);

  it('names only tests that are there', () => {
    expect(quoted.length).toBeGreaterThan(30);
    for (const title of quoted) expect(tests, title).toContain(`'${title}'`);
  });

  it('lists what only the owner may do, and nothing else of the API is the owner’s', () => {
    const [, table = ''] = page.split('## Only the owner');
    const names = [...table.split('\n## ')[0].matchAll(/`(?:job )?([\w-]+)`/g)].map(
      ([name]) => name,
    );
    const routes = (Object.keys(ROUTES) as ApiName[]).filter((name) =>
      ['owner', 'folder'].includes(ROUTES[name].who),
    );
    const all = [...routes, ...OWNER_JOBS.map((name) => `job ${name}`)];
    expect(names.toSorted()).toEqual(all.map((name) => `\`${name}\``).toSorted());
  });

  it('names for every promise the file of its test', () => {
    const [, table = ''] = page.split('## Promises');
    const promises = table
      .split('\n## ')[0]
      .split('\n')
      .filter((row) => /^\| [A-Z]/.test(row));
    expect(promises.length).toBeGreaterThan(15);
    for (const row of promises) expect(row).toMatch(/\| "[^"]{15,}"[^|]*\|$/);
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
