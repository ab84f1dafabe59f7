import { inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { randomFrom } from '../../bench/random.ts';
import type { Book } from '../../src/book/book.ts';
import { allAt, bookServiceOf } from '../../src/book/book-service.ts';
import { makeCards } from '../../src/book/share/make-card.ts';
import { printSheets } from '../../src/book/share/print-sheets.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { AppError } from '../../src/core/errors.ts';
import { orderByColour } from '../../src/core/share/order-by-colour.ts';
import { type PrintCall, printCall } from '../../src/domain/share/print-call.ts';
import { USUAL_UNITS } from '../../src/domain/usual-units.ts';
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

  /** Squares of a printed list: 16 by 10 mm, 18 mm from the left, one every 12 mm. */
  function expectRows(page: string, rows: number): void {
    const squares = rectangles(page);
    expect(squares).toHaveLength(rows);
    const [, first] = squares[0];
    // Below the heading and as many lines of 5.6 mm as its words take.
    const lines = (first - 35) / 5.6;
    expect(Math.abs(lines - Math.round(lines)) * 5.6).toBeLessThan(CLOSE_MM);
    squares.forEach(([x, y, w, h], i) => {
      [x - 18, y - first - 12 * i, w - 16, h - 10].forEach((off) => {
        expect(Math.abs(off)).toBeLessThan(CLOSE_MM);
      });
    });
  }

  it('have the rows of a class kit and of short names where a ruler says, to 0.03 mm', async () => {
    const [cut, each] = pagesOf(
      await print({ what: 'class-kit', author, licence, mixes, pupils: 12 }),
    );
    // Five clays in three recipes.
    expectRows(cut, 5);
    expectRows(each, 3);
    const named = await bookWithShortNames();
    const call = printCall.parse({ what: 'short-names', paper: 'A5' });
    const pdf = await printSheets(named, call, 'test', await drawer());
    const [page] = pagesOf(Buffer.from(pdf));
    expectRows(page, 2);
    expect(sizeOf(pdf)).toEqual([148, 210]);
  });

  it('say in a class kit what all pupils need: pieces times pupils times batches', async () => {
    const texts: string[] = [];
    const own = await drawer();
    const watched = {
      ...own,
      pdf: (pages: Parameters<typeof own.pdf>[0], title: string) => {
        for (const { things } of pages)
          for (const thing of things) if (thing.kind === 'text') texts.push(thing.text);
        return own.pdf(pages, title);
      },
    };
    const call = { what: 'class-kit', author, licence, mixes: { mixIds: ['own-moss', 'blush'] } };
    const asked = printCall.parse({ ...call, pupils: 7, batches: 2 });
    await printSheets(book, asked, 'test', watched);
    // 5 Kelp + 2 Limpet and 6 Foam + 1 Anemone, each twice by seven pupils.
    for (const pieces of [5, 2, 6, 1]) expect(texts).toContain(`${pieces * 7 * 2} pieces`);
    expect(texts.filter((text) => /^Kelp.*: 10 for each pupil$/.test(text))).toHaveLength(1);
  });

  it('have the colour, pieces and code of a card where a ruler says, to 0.03 mm', async () => {
    const choice = choiceOf({ mixes: { mixIds: ['own-moss'] } });
    const call = { choice, as: 'pdf', size: 'portrait', paper: 'A4', others: false } as const;
    const [{ bytes }] = await makeCards(book, call, 'test', await drawer(), async () => []);
    expect(sizeOf(bytes)).toEqual([210, 297]);
    const [page] = pagesOf(Buffer.from(bytes));
    const [big, ...pieces] = rectangles(page);
    const close = (found: readonly number[], wanted: readonly number[]) => {
      found.forEach((v, k) => {
        expect(Math.abs(v - wanted[k])).toBeLessThan(CLOSE_MM);
      });
    };
    close(big, [18, 33, 174, 60]);
    // Five and two pieces: 0.4 mm between pieces of one clay, 2 mm between clays.
    expect(pieces).toHaveLength(7);
    const wide = (174 - 5 * 0.4 - 2) / 7;
    let x = 18;
    pieces.forEach((piece, i) => {
      close(piece, [x, 33 + 60 + 1.2, wide, 14]);
      x += wide + (i === 4 ? 2 : 0.4);
    });
    // A module of the code is half a millimetre.
    const [, scale] = page.match(/(?:^|\n)([\d.]+) 0 0 \1 0 0 cm/) ?? [];
    expect(Math.abs(Number(scale) / MM - 0.5)).toBeLessThan(0.001);
  });

  /** Width and height of the first page, mm. */
  function sizeOf(pdf: Uint8Array): number[] {
    const [, width, height] =
      Buffer.from(pdf)
        .toString('latin1')
        .match(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/) ?? [];
    return [width, height].map((points) => Math.round((Number(points) / MM) * 100) / 100);
  }

  async function bookWithShortNames() {
    const named = await demoShareBook();
    const { store } = named.ports;
    const settings = await store.get('settings');
    const body = settings?.kind === 'settings' ? settings.body : { units: USUAL_UNITS };
    const shortNames = [
      { shortName: 'K', of: { kind: 'block', id: 'kelp' } },
      { shortName: 'F', of: { kind: 'block', id: 'foam' } },
    ] as const;
    await bookServiceOf(named).change({
      what: 'short names',
      steps: [put('settings', 'settings', { ...body, shortNames }, settings?.version)],
    });
    return named;
  }

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
