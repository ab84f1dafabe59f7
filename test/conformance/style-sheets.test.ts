import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
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

/** What a module of the page imports: other modules, and those that come later with them. */
const MODULE = /(?:from|import)\s*\(?\s*'(\.[^']+\.tsx?)'/g;
const CLASSES = /className="([^"]+)"/g;

/** A screen and all it may show: modules and style sheets. */
function partsOf(file: string, known = new Set<string>()): Set<string> {
  if (known.has(file)) return known;
  known.add(file);
  const text = readFileSync(join(WEB, file), 'utf8');
  for (const [, path] of text.matchAll(SHEET)) known.add(join(dirname(file), path));
  for (const [, path] of text.matchAll(MODULE)) {
    const part = join(dirname(file), path);
    if (!part.startsWith('..')) partsOf(part, known);
  }
  return known;
}

describe('style sheets that come with a screen', () => {
  it('come with every screen that names their classes', () => {
    const sheetOf = new Map<string, string>();
    for (const sheet of files.filter((file) => file.endsWith('.css')))
      for (const selector of selectorsOf(sheet))
        if (/^\.[\w-]+$/.test(selector) && (everywhere.has(sheet) || !sheetOf.has(selector)))
          sheetOf.set(selector, sheet);
    const router = readFileSync(join(WEB, 'router.tsx'), 'utf8');
    const screens = [...router.matchAll(/import\('\.\/(screens\/[^']+)'\)/g)].map(
      ([, path]) => path,
    );
    const bare = screens.flatMap((screen) => {
      const parts = partsOf(screen);
      return [...parts]
        .filter((part) => part.endsWith('.tsx'))
        .flatMap((part) => {
          const named = readFileSync(join(WEB, part), 'utf8').matchAll(CLASSES);
          return [...named].flatMap(([, names]) => names.split(' '));
        })
        .filter((name) => {
          const sheet = sheetOf.get(`.${name}`);
          return sheet !== undefined && !everywhere.has(sheet) && !parts.has(sheet);
        })
        .map((name) => `${screen}: ${name} of ${sheetOf.get(`.${name}`)}`);
    });
    expect([...new Set(bare)]).toEqual([]);
    expect(new Set(screens).size).toBeGreaterThan(25);
  });

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
