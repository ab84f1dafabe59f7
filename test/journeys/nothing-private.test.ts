import { deflateSync, inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Book } from '../../src/book/book.ts';
import type { Drawer } from '../../src/book/share/drawer.ts';
import { gatherShare } from '../../src/book/share/gather-share.ts';
import { makeCards } from '../../src/book/share/make-card.ts';
import { printSheets } from '../../src/book/share/print-sheets.ts';
import { printCall } from '../../src/domain/share/print-call.ts';
import { payloadOfMix, shareFromPayload } from '../../src/domain/share/recipe-payload.ts';
import { bytesFromShare } from '../../src/domain/share/share-codec.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { buildSite } from '../../src/domain/site/build-site.ts';
import { drawer } from '../../src/main/drawer.ts';
import { choiceOf } from '../conformance/demo-share.ts';
import { SECRET, secretBook } from '../conformance/secret-book.ts';

const choice = choiceOf({ mixes: { mixIds: ['chosen'] }, clays: 'learned' });
const { author, licence, mixes } = choice;
/** Letters of pages and pictures become outlines or numbers of glyphs, so that they are read before. */
let drawn: string[] = [];
let book: Book;
let file: ShareFile;
let watched: Drawer;
beforeAll(async () => {
  book = await secretBook();
  file = await gatherShare(book, choice, 'test');
  const own = await drawer();
  const note = <T>(it: T): T => {
    drawn.push(JSON.stringify(it));
    return it;
  };
  watched = {
    ...own,
    svg: (one) => own.svg(note(one)),
    png: (one) => own.png(note(one)),
    pdf: (pages, title) => own.pdf(note(pages), note(title)),
  };
});

/** The private word as any program may write it: as letters, wide letters of either order, base64, hexadecimal. */
const WAYS = [SECRET, [...SECRET].join('\0'), Buffer.from(SECRET).toString('hex')]
  .flatMap((text) => [text, text.toUpperCase()])
  .concat([0, 1, 2].map((at) => inBase64(at)));

/** The letters of base64 that the word has wherever it starts. */
function inBase64(at: number): string {
  const padded = Buffer.concat([Buffer.alloc(at), Buffer.from(SECRET)]);
  const text = padded.toString('base64').replace(/=+$/, '');
  return text.slice(at === 0 ? 0 : at + 1, -1);
}

/** The bytes, and all that is packed in them: streams of a PDF, chunks of a PNG. */
function layers(bytes: Uint8Array): Buffer[] {
  const whole = Buffer.from(bytes);
  const all = [whole];
  for (let at = whole.indexOf(0x78); at >= 0; at = whole.indexOf(0x78, at + 1)) {
    if (((whole[at] << 8) | (whole[at + 1] ?? 0)) % 31 !== 0) continue;
    try {
      all.push(inflateSync(whole.subarray(at), { finishFlush: 2 }));
    } catch {
      // Two bytes that only look like the start of packed ones.
    }
  }
  return all;
}

function leaksIn(bytes: Uint8Array): string[] {
  return layers(bytes).flatMap((one) => WAYS.filter((way) => one.includes(way, 0, 'latin1')));
}

async function card(as: 'png' | 'svg' | 'pdf') {
  const call = { choice, as, size: 'portrait', paper: 'A4', others: false } as const;
  const [made] = await makeCards(book, call, 'test', watched, async () => []);
  return made.bytes;
}
const print = (call: object) =>
  printSheets(book, printCall.parse({ author, licence, mixes, ...call }), 'test', watched);
const sheet = { columns: 2, rows: 4, widthMm: 60, heightMm: 40, leftMm: 10, topMm: 10 };

const OUTPUTS: Readonly<Record<string, () => Promise<readonly (readonly [string, Uint8Array])[]>>> =
  {
    'a share file': async () => [['recipes.share.json', bytesFromShare(file)]],
    'a page of one own': async () =>
      [
        ...buildSite(file, {
          script: 'page',
          mine: 'mine',
          titleFont: new Uint8Array(1),
          textFont: new Uint8Array(1),
        }),
      ].map(([path, content]) => [path, Buffer.from(content)] as const),
    'a card as PNG': async () => [['card.png', await card('png')]],
    'a card as SVG': async () => [['card.svg', await card('svg')]],
    'a card as PDF': async () => [['card.pdf', await card('pdf')]],
    labels: async () => [['labels.pdf', await print({ what: 'labels', sheet, qr: true })]],
    'a chart': async () => [['chart.pdf', await print({ what: 'chart' })]],
    'a class kit': async () => [['kit.pdf', await print({ what: 'class-kit', pupils: 8 })]],
  };

describe('private words of the book', () => {
  it.each(Object.keys(OUTPUTS))('are in no byte and no letter of %s', async (what) => {
    drawn = [];
    for (const [name, bytes] of await OUTPUTS[what]()) {
      expect(bytes.length, name).toBeGreaterThan(0);
      expect(leaksIn(bytes), name).toEqual([]);
    }
    expect(drawn.filter((one) => one.includes(SECRET))).toEqual([]);
    // What is drawn was seen: pictures and pages name the mix.
    if (/card|labels|chart|kit/.test(what)) expect(drawn.join(' ')).toContain('Chosen');
  });

  it('are in no code of a card', () => {
    const read = JSON.stringify(shareFromPayload(payloadOfMix(file, 0)));
    expect(read).toContain('Chosen');
    expect(read).not.toContain(SECRET);
  });

  it('would be found, however they were written', () => {
    const text = `note: ${SECRET} place`;
    const packed = deflateSync(Buffer.from(text));
    for (const bytes of [
      Buffer.from(text),
      Buffer.from(text, 'utf16le'),
      Buffer.from(Buffer.from(text).toString('base64')),
      Buffer.from(Buffer.from(text).toString('hex')),
      Buffer.concat([Buffer.from('before'), packed, Buffer.from('after')]),
    ]) {
      expect(leaksIn(bytes)).not.toEqual([]);
    }
  });
});
