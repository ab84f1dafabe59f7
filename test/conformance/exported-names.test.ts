import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../../src/main/node-runtime.mjs';

const EXPORTED =
  /^export (?:async )?(?:abstract )?(?:function\*?|const|let|class|interface|type|enum) (\w+)/gm;

/** Every exported name, with the modules that define it. */
function definitions(texts: ReadonlyMap<string, string>): Map<string, Set<string>> {
  const found = new Map<string, Set<string>>();
  for (const [path, text] of texts) {
    for (const [, name = ''] of text.matchAll(EXPORTED)) {
      found.set(name, (found.get(name) ?? new Set()).add(path));
    }
  }
  return found;
}

const twice = (texts: ReadonlyMap<string, string>) =>
  [...definitions(texts)].flatMap(([name, paths]) =>
    paths.size > 1 ? [`${name}: ${[...paths].join(', ')}`] : [],
  );

describe('an exported name', () => {
  it('is defined in one module, so one name has one meaning', () => {
    const paths = globSync('src/**/*.{ts,tsx}', { cwd: ROOT }).filter(
      (path) => !path.includes('.test.'),
    );
    const texts = new Map(paths.map((path) => [path, readFileSync(join(ROOT, path), 'utf8')]));
    expect(definitions(texts).size).toBeGreaterThan(1000);
    expect(twice(texts)).toEqual([]);
  });

  it('is noticed where two modules define it, and may stand in one as type and value', () => {
    const texts = new Map([
      ['a.ts', 'export const Form = 1;\nexport type Form = number;\nexport type Only = 1;'],
      ['b.ts', 'export function Form() {}'],
    ]);
    expect(twice(texts)).toEqual(['Form: a.ts, b.ts']);
  });
});
