import { inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import type { Book } from '../../src/book/book.ts';
import { allAt, bookServiceOf } from '../../src/book/book-service.ts';
import { printSheets } from '../../src/book/share/print-sheets.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { AppError } from '../../src/core/errors.ts';
import { orderByColour } from '../../src/core/share/order-by-colour.ts';
import { type PrintCall, printCall } from '../../src/domain/share/print-call.ts';
import { drawer } from '../../src/main/drawer.ts';
import { put } from '../conformance/book-maker.ts';
import { choiceOf, demoShareBook } from '../conformance/demo-share.ts';

/** Points in a millimetre, and what a printed length may be off. */
const MM = 72 / 25.4;
const CLOSE_MM = 0.03;

let book: Book;
beforeAll(async () => {
  book = await demoShareBook();
});

const { author, licence, mixes } = choiceOf();
const print = async (call: object) =>
  Buffer.from(await printSheets(book, printCall.parse(call) as PrintCall, 'test', await drawer()));

/** The drawing commands of every page of a PDF. */
function pagesOf(pdf: Buffer): string[] {
  const pages: string[] = [];
  for (let at = pdf.indexOf('stream\n'); at >= 0; at = pdf.indexOf('stream\n', at + 7)) {
    if (pdf.subarray(at - 3, at).toString() === 'end') continue;
    const end = pdf.indexOf('\nendstream', at);
    try {
      const text = inflateSync(pdf.subarray(at + 7, end)).toString('latin1');
      if (/ re\s|BT\s/.test(text)) pages.push(text);
    } catch {
      // A font is no page.
    }
  }
  return pages;
}

/** Rectangles of a page in mm. */
function rectangles(page: string): number[][] {
  return [...page.matchAll(/(-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) re/g)].map((found) =>
    found.slice(1, 5).map((v) => Number(v) / MM),
  );
}

describe('labels', () => {
  const sheet = {
    columns: 3,
    rows: 7,
    widthMm: 63.5,
    heightMm: 38.1,
    leftMm: 7.2,
    topMm: 15.1,
    gapAcrossMm: 2.5,
  };

  it('stand where the ruler says, to 0.03 mm, with a test page first', async () => {
    const pdf = await print({ what: 'labels', author, licence, mixes, sheet });
    const [test] = pagesOf(pdf);
    const frames = rectangles(test);
    expect(frames).toHaveLength(21);
    frames.forEach(([x, y, w, h], i) => {
      const wanted = [7.2 + (i % 3) * 66, 15.1 + Math.floor(i / 3) * 38.1, 63.5, 38.1];
      [x, y, w, h].forEach((v, k) => {
        expect(Math.abs(v - wanted[k])).toBeLessThan(CLOSE_MM);
      });
    });
  });

  it('are the same bytes each time', async () => {
    const call = { what: 'labels', author, licence, mixes, sheet, qr: true };
    expect((await print(call)).equals(await print(call))).toBe(true);
  });

  it('that do not fit their paper are refused in words', async () => {
    const wide = { ...sheet, columns: 4 };
    const refused = print({ what: 'labels', author, licence, mixes, sheet: wide });
    await expect(refused).rejects.toMatchObject({ code: 'labels-unfit' });
    await expect(refused).rejects.toBeInstanceOf(AppError);
  });
});

describe('other sheets', () => {
  it('are drawn: a chart, a class kit, short names once there are some', async () => {
    const chart = await print({ what: 'chart', author, licence, mixes: { all: true } });
    // 60 mixes of the demo, as many squares; those without a colour have a frame.
    expect(pagesOf(chart).flatMap(rectangles).length).toBeGreaterThanOrEqual(60);
    const kit = await print({ what: 'class-kit', author, licence, mixes, pupils: 12 });
    expect(pagesOf(kit).length).toBeGreaterThanOrEqual(2);
    const none = emptyNames();
    await expect(none).rejects.toMatchObject({ code: 'nothing-to-share' });
  });

  it('of one line hold its clays and the mixes of nothing else', async () => {
    const lines = (await allAt(bookServiceOf(book), 'line')).map(({ id }) => id);
    const squares = await Promise.all(
      [undefined, ...lines].map(async (lineId) => {
        const pdf = await print({
          what: 'chart',
          author,
          licence,
          mixes: { all: true },
          ...(lineId === undefined ? {} : { lineId }),
        });
        return pagesOf(pdf).flatMap(rectangles).length;
      }),
    );
    for (const count of squares) expect(count).toBeGreaterThan(1);
    expect(new Set(squares).size).toBeGreaterThan(1);
    const lost = print({ what: 'chart', author, licence, mixes, lineId: 'no-line' });
    await expect(lost).rejects.toBeInstanceOf(AppError);
  });

  it('have their squares where a ruler says, to 0.03 mm: a chart, a ladder', async () => {
    const steps = [20, 40, 60, 80].map((lightness, i) => ({
      title: `${3 - i} : ${i}`,
      recipe: '1 Kelp',
      lab: [lightness, 10, -10],
    }));
    const ladder = rectangles(pagesOf(await print({ what: 'ladder', title: 'Steps', steps }))[0]);
    const side = (210 - 2 * 12 - 5 * 3) / 6;
    const own = ladder.filter(([, , w]) => w < 100);
    expect(own).toHaveLength(4);
    own.forEach(([x, y, w, h], i) => {
      [x - (12 + i * (side + 3)), y - 26, w - side, h - side].forEach((off) => {
        expect(Math.abs(off)).toBeLessThan(CLOSE_MM);
      });
    });
    const chart = await print({ what: 'chart', author, licence, mixes });
    for (const [x, , w, h] of rectangles(pagesOf(chart)[0]).filter((one) => one[2] < 100)) {
      expect(Math.abs(w - side)).toBeLessThan(CLOSE_MM);
      expect(Math.abs(h - side)).toBeLessThan(CLOSE_MM);
      const column = (x - 12) / (side + 3);
      expect(Math.abs(column - Math.round(column)) * (side + 3)).toBeLessThan(CLOSE_MM);
    }
  });

  /** A book of no short names. */
  async function emptyNames() {
    const settings = await book.ports.store.get('settings');
    const body = settings?.kind === 'settings' ? settings.body : undefined;
    if (settings !== undefined && body?.shortNames !== undefined) {
      const { shortNames: _, ...rest } = body;
      await bookServiceOf(book).change({
        what: 'no short names',
        steps: [put('settings', 'settings', rest, settings.version)],
      });
    }
    return print({ what: 'short-names' });
  }
});

describe('an order by colour', () => {
  it('names each once, and its neighbours lie closer than by chance', () => {
    const { uniform } = randomFrom(9);
    const labs = Array.from(
      { length: 80 },
      (): Lab => [20 + 60 * uniform(), 80 * uniform() - 40, 80 * uniform() - 40],
    );
    const order = orderByColour(labs);
    expect([...order].sort((a, b) => a - b)).toEqual(labs.map((_, i) => i));
    const way = (places: readonly number[]) =>
      places
        .slice(1)
        .reduce(
          (sum, place, i) => sum + Math.hypot(...labs[place].map((v, k) => v - labs[places[i]][k])),
          0,
        );
    expect(way(order)).toBeLessThan(0.6 * way(labs.map((_, i) => i)));
  });
});
