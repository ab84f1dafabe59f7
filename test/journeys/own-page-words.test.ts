import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sealed } from '../../src/domain/share/share-codec.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { titleOfShared } from '../../src/domain/share/what-leaves.ts';
import { buildSite } from '../../src/domain/site/build-site.ts';
import { PAGE_WORDS, siteWordsSchema } from '../../src/domain/site/site-words.ts';
import { demoShare } from '../conformance/demo-share.ts';
import { launched, NO_BROWSER } from './page.ts';
import { readerScripts } from './reader-scripts.ts';

const WORD = /[A-Za-z][A-Za-z0-9]*/g;
/** Stands behind every word of the invented language. */
const MARK = '\u019b';

/** A text with each of its words marked; what is in braces stands for values. */
const marked = (text: string) =>
  text
    .split(/(\{\w+\})/)
    .map((part) => (part.startsWith('{') ? part : part.replace(WORD, (word) => `${word}${MARK}`)))
    .join('');

const folder = mkdtempSync(join(tmpdir(), 'kneadwell page words '));
let file: ShareFile;
let site: ReadonlyMap<string, string | Uint8Array>;
/** Words that are the author's own: names of mixes, clays, powders and lines, and what the author says. */
let ofAuthor: ReadonlySet<string>;

beforeAll(async () => {
  const { seal: _, ...demo } = await demoShare({ clays: 'learned', mixes: { all: true } });
  const [first, ...rest] = demo.mixes;
  // Every way in which a recipe can be: shimmering, see-through, by weight, with powder, without a colour.
  const { colour: _c, ...colourless } = first;
  const guessed = { ...demo.mixes.find(({ colour }) => colour !== undefined)!.colour! };
  const odd = [
    {
      ...first,
      code: 'P1',
      name: 'Glimmer',
      look: 'shimmering',
      powders: [{ name: 'Mica', share: 0.02 }],
    },
    { ...first, code: 'P2', name: 'Glass', look: 'see-through', basis: 'weight' },
    { ...colourless, code: 'P3', name: 'Unseen' },
    {
      ...first,
      code: 'P4',
      name: 'Guess',
      colour: { ...guessed, from: 'predicted', plusMinus: 12 },
    },
  ] as const;
  file = sealed({ ...demo, title: 'Ebb', words: 'Hello', mixes: [first, ...rest, ...odd] });
  const language = Object.fromEntries(
    Object.entries(PAGE_WORDS).map(([key, text]) => [
      key,
      key === 'language' ? 'x-ebb' : marked(text),
    ]),
  );
  const read = siteWordsSchema.parse(JSON.parse(JSON.stringify(language)));
  site = buildSite(file, { ...(await readerScripts(join(folder, 'scripts'))), words: read });
  for (const [path, content] of site) {
    const at = join(folder, 'page', path);
    mkdirSync(dirname(at), { recursive: true });
    writeFileSync(at, content);
  }
  const { author, link = '', title, words = '', mixes, clays, lines } = file;
  const said = [author, link, title, words, ...mixes.map(titleOfShared)];
  const powders = mixes.flatMap((mix) => mix.powders ?? []);
  const named = [...clays, ...lines, ...powders].map(({ name }) => name);
  ofAuthor = new Set([...said, ...named].flatMap((text) => text.match(WORD) ?? []));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Words of a text that are neither marked nor the author's. */
function unmarked(text: string): string[] {
  const own = new RegExp(`${WORD.source}(?!${MARK}|[A-Za-z0-9])`, 'g');
  return (text.match(own) ?? []).filter((word) => !ofAuthor.has(word));
}

/** What a reader sees or hears of a file: its text, and texts in attributes. */
function saidIn(html: string): string {
  const body = html
    .replace(/<(script|style)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*?\b(?:alt|title|placeholder|aria-label)="([^"]*)"[^>]*>/g, ' $1 ')
    .replace(/<[^>]*>/g, ' ');
  return body.replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)));
}

describe('a page in another language', () => {
  it('finds a word without a mark', () => {
    expect(unmarked(`${marked('Search by word')} Kelp`)).toEqual([]);
    expect(unmarked(`${marked('Search by')} word`)).toEqual(['word']);
    expect(saidIn('<p title="Odd">A &#60;b&#62;</p>')).toContain('Odd');
  });

  it('has no word in any file that the file of words does not say', () => {
    const pages = [...site].filter(([path]) => path.endsWith('.html'));
    expect(pages.length).toBeGreaterThan(8);
    for (const [path, html] of pages) expect(unmarked(saidIn(String(html))), path).toEqual([]);
    const all = pages.map(([, html]) => saidIn(String(html))).join(' ');
    for (const said of [
      'looks shimmering',
      'looks see-through',
      'colourUnknown',
      'byWeight',
    ] as const)
      expect(all).toContain(marked(PAGE_WORDS[said]));
  });

  it.skipIf(NO_BROWSER !== undefined)(
    'has none in a browser either, where recipes are worked out for the clays of the reader',
    async () => {
      const browser = await launched([]);
      const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
      const seen = async () => String(await page.evaluate('document.body.innerText'));
      await page.goto(`${pathToFileURL(join(folder, 'page')).href}/index.html`);
      await page.locator('#colour').fill('#c02020');
      await page.locator('#colour').dispatchEvent('input');
      await page.locator('#mine > summary').click();
      await page.locator('#clays .every input').first().check();
      await page.locator('#said', { hasText: MARK }).waitFor();
      await page.locator('#tiles .verdict').first().waitFor();
      expect(unmarked(await seen())).toEqual([]);
      await page.locator('#search').fill('nothing at all');
      await page.locator('#none').waitFor();
      expect(unmarked(await seen())).toEqual([]);
      await page.goto(`${pathToFileURL(join(folder, 'page', 'm')).href}/w1.html`);
      await page.locator('#yours h2').waitFor();
      expect(unmarked(await seen())).toEqual([]);
      await browser.close();
    },
  );
});
