import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../journeys/program.ts';

const WEB = join(ROOT, 'src', 'web');
const SHEET = /(?:import|from) '([^']+\.css)'/g;
const COMMENTS = /\/\*[\s\S]*?\*\//g;
const RULES = /([^{}]+)\{/g;

const files = readdirSync(WEB, { recursive: true, encoding: 'utf8' });
/** Loaded with the page; all others come with the screen that is opened. */
const everywhere = new Set(
  [...readFileSync(join(WEB, 'main.tsx'), 'utf8').matchAll(SHEET)].map(([, path]) =>
    path.replace('./', ''),
  ),
);

/** Selectors of a style sheet without what narrows an element down: states and attributes. */
function selectorsOf(sheet: string): string[] {
  const css = readFileSync(join(WEB, sheet), 'utf8').replace(COMMENTS, '');
  return [...css.matchAll(RULES)]
    .filter(([, head]) => !head.trim().startsWith('@'))
    .flatMap(([, head]) => head.replace(/\([^()]*\)|\[[^\]]*\]|::?[\w-]+/g, '').split(','))
    .map((selector) => selector.replace(/[>+~]/g, ' ').replace(/\s+/g, ' ').trim())
    .filter((selector) => selector.startsWith('.'));
}

describe('style sheets that come with a screen', () => {
  it('never draw what another such sheet draws, or looks would depend on the screens seen before', () => {
    const drawnBy = new Map<string, Set<string>>();
    for (const sheet of files.filter((file) => file.endsWith('.css') && !everywhere.has(file)))
      for (const selector of selectorsOf(sheet))
        drawnBy.set(selector, (drawnBy.get(selector) ?? new Set()).add(sheet));
    const twice = [...drawnBy].filter(([, sheets]) => sheets.size > 1);
    expect(twice.map(([selector, sheets]) => `${selector}: ${[...sheets].join(', ')}`)).toEqual([]);
    expect(drawnBy.size).toBeGreaterThan(300);
  });
});
