import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sharesOfParts } from '../../src/core/clay/mixture.ts';
import { PARTS_SPREAD } from '../../src/core/clay/parts-spread.ts';
import { predictMix } from '../../src/core/clay/predict.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import { lightPredictor } from '../../src/core/share/light-predictor.ts';
import { plusMinusOf } from '../../src/core/verdict/verdict.ts';
import { claysOfCurves } from '../../src/domain/share/share-curves.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { buildSite } from '../../src/domain/site/build-site.ts';
import { demoClay } from '../conformance/demo-clay.ts';
import { demoShare } from '../conformance/demo-share.ts';
import { launched, NO_BROWSER } from './page.ts';
import { readerScripts } from './reader-scripts.ts';

/** Bytes of the first page, as they lie on the disk. */
const FIRST_PAGE = 120_000;

const folder = mkdtempSync(join(tmpdir(), 'kneadwell own page '));
let file: ShareFile;
let site: ReadonlyMap<string, string | Uint8Array>;

beforeAll(async () => {
  file = await demoShare({ clays: 'learned', mixes: { all: true }, title: 'Low <tide>' });
  site = buildSite(file, await readerScripts(join(folder, 'scripts')));
  for (const [path, content] of site) {
    const at = join(folder, 'page', path);
    mkdirSync(dirname(at), { recursive: true });
    writeFileSync(at, content);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a page of one own', () => {
  it('names no address of the network in any file', () => {
    for (const [path, content] of site) {
      if (typeof content !== 'string') continue;
      const outside = content.match(/(?:https?:)?\/\/[a-z0-9-]+\.[a-z]{2,}/gi) ?? [];
      // The name of the SVG language is no address that anybody asks.
      expect(
        outside.filter((one) => !one.includes('www.w3.org')),
        path,
      ).toEqual([]);
    }
  });

  it('has a first page of at most 120 kB', () => {
    const first = ['index.html', 'page.css', 'page.js', 'title.woff2', 'text.woff2'];
    const bytes = first.map((path) => Buffer.byteLength(Buffer.from(site.get(path)!)));
    expect(bytes.reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(FIRST_PAGE);
  });

  it('is the same page from the same recipes', () => {
    const again = buildSite(file, {
      script: String(site.get('page.js')),
      mine: String(site.get('mine.js')),
      titleFont: site.get('title.woff2') as Uint8Array,
      textFont: site.get('text.woff2') as Uint8Array,
    });
    for (const [path, content] of again) expect(content, path).toEqual(site.get(path));
  });

  it('is valid HTML in every file', async () => {
    const { HtmlValidate, StaticConfigLoader } = await import('html-validate');
    const loader = new StaticConfigLoader({ extends: ['html-validate:standard'] });
    const checker = new HtmlValidate(loader);
    expect((await checker.validateString('<p><li>lost</p>')).valid).toBe(false);
    for (const [path, content] of site) {
      if (!path.endsWith('.html')) continue;
      const { results } = await checker.validateString(String(content), path);
      const said = results.flatMap(({ messages }) => messages);
      expect(
        said.map(({ ruleId, message, line }) => `${line} ${ruleId}: ${message}`),
        path,
      ).toEqual([]);
    }
  });

  it('writes no text of the author as markup', () => {
    expect(String(site.get('index.html'))).not.toContain('Low <tide>');
    expect(String(site.get('index.html'))).toContain('Low &#60;tide&#62;');
  });

  it('speaks another language where it is given the words', () => {
    const words = { language: 'fi', mine: 'Omat massat' };
    const parts = {
      script: '',
      mine: '',
      titleFont: new Uint8Array(),
      textFont: new Uint8Array(),
      words,
    };
    const index = String(buildSite(file, parts).get('index.html'));
    expect(index).toContain('<html lang="fi"');
    expect(index).toContain('Omat massat');
  });
});

describe('what the page computes', () => {
  it('is what the program predicts: colours within 0.02, the ± within 15 %', async () => {
    const { predictor } = await demoClay();
    const names = file.clays.map(({ name }) => name);
    const light = lightPredictor(claysOfCurves(file.curves!, names));
    const own = new Map(predictor.model.clays.map(({ name }, i) => [name, i]));
    const count = light.predictor.model.clays.length;
    for (let one = 0; one < count; one++) {
      for (let other = 0; other < count; other++) {
        if (one === other) continue;
        const parts = [
          { clay: one, parts: 3 },
          { clay: other, parts: 2 },
        ];
        const page = light.predict(sharesOfParts(parts));
        const mix = parts.map(({ clay, parts: n }) => ({
          clay: own.get(light.predictor.model.clays[clay].name)!,
          parts: n,
        }));
        const program = predictMix(predictor, sharesOfParts(mix), {
          weights: colourWeights('D50', 2),
          partsSpread: PARTS_SPREAD.ofMix,
        });
        expect(deltaE2000(page.lab, program.lab)).toBeLessThan(0.02);
        const ratio =
          plusMinusOf(page.lab, page.covariance) / plusMinusOf(program.lab, program.covariance);
        expect(Math.abs(ratio - 1)).toBeLessThan(0.15);
      }
    }
  });
});

describe.skipIf(NO_BROWSER !== undefined)('the page in a browser', () => {
  let browser: Browser;
  let host: Server;
  let base = '';
  beforeAll(async () => {
    browser = await launched([]);
    host = createServer((request, response) => {
      const path = join(folder, 'page', new URL(request.url ?? '/', 'http://host').pathname);
      const at = existsSync(path) && !path.endsWith('/') ? path : join(path, 'index.html');
      const type = at.endsWith('.html') ? 'text/html' : at.endsWith('.css') ? 'text/css' : '';
      response.writeHead(200, type === '' ? {} : { 'content-type': type });
      response.end(readFileSync(at));
    });
    await new Promise<void>((resolve) => host.listen(0, '127.0.0.1', resolve));
    base = `http://127.0.0.1:${(host.address() as AddressInfo).port}/`;
  });
  afterAll(async () => {
    await browser.close();
    host.close();
  });

  const from = (way: string) =>
    way === 'disk' ? `${pathToFileURL(join(folder, 'page')).href}/` : base;

  async function opened(way: string): Promise<{
    page: Page;
    context: BrowserContext;
    outside: string[];
    complaints: string[];
  }> {
    const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
    const page = await context.newPage();
    const outside: string[] = [];
    const complaints: string[] = [];
    page.on('request', (request) => {
      const url = request.url();
      if (!url.startsWith(from(way)) && !url.startsWith('data:')) outside.push(url);
    });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (fault) => complaints.push(fault.message));
    await page.goto(`${from(way)}index.html`);
    return { page, context, outside, complaints };
  }

  it.each(['disk', 'host'])(
    'is searched, and translated for ticked clays, from a %s',
    async (way) => {
      const { page, context, outside, complaints } = await opened(way);
      await page.getByRole('searchbox').fill('moss');
      await expect.poll(() => page.locator('#tiles .tile').count()).toBe(2);
      await page.getByRole('searchbox').fill('');
      await page.locator('#colour').fill('#c02020');
      await page.locator('#colour').dispatchEvent('input');
      await expect
        .poll(() => page.locator('#tiles .tile .name').first().textContent())
        .toMatch(/Starfish/);
      await page.getByText('Your clays').click();
      await page.getByLabel('All of Saltmarsh').check();
      await page.getByText(/recipes can be a match/).waitFor();
      await page.locator('#tiles a', { hasText: 'Rock moss' }).click();
      await page.getByRole('heading', { name: 'With your clays' }).waitFor();
      expect(await page.locator('#yours').textContent()).toMatch(/A match, almost certainly/);
      expect(outside).toEqual([]);
      expect(complaints).toEqual([]);
      await context.close();
    },
  );

  it('has nothing that axe finds, on the first page and on that of a mix', async () => {
    const axe = readFileSync(
      fileURLToPath(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url)),
      'utf8',
    );
    const { page, context } = await opened('host');
    await page.getByText('Your clays').click();
    await page.getByLabel('All of Saltmarsh').check();
    await page.getByText(/recipes can be a match/).waitFor();
    const mixes = [`${base}index.html`, `${base}m/w1.html`, `${base}all.html`];
    for (const address of mixes) {
      if (page.url() !== address) await page.goto(address);
      await page.evaluate(axe);
      const found = (await page.evaluate('axe.run()')) as { violations: { id: string }[] };
      expect(
        found.violations.map(({ id }) => id),
        address,
      ).toEqual([]);
    }
    await context.close();
  });
});
