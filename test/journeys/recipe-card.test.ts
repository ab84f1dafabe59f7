import { readFileSync } from 'node:fs';
import { inflateSync } from 'node:zlib';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import type { Book } from '../../src/book/book.ts';
import { type CardCall, makeCards } from '../../src/book/share/make-card.ts';
import { srgbFromLab } from '../../src/core/colour/display.ts';
import { CARD_SIZES, type CardSize } from '../../src/domain/drawing/card-drawing.ts';
import { payloadOfMix, shareFromPayload } from '../../src/domain/share/recipe-payload.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { readQr } from '../../src/imaging/read-qr.ts';
import { drawer } from '../../src/main/drawer.ts';
import { choiceOf, demoShare, demoShareBook } from '../conformance/demo-share.ts';

let book: Book;
let file: ShareFile;
beforeAll(async () => {
  book = await demoShareBook();
  file = await demoShare({ mixes: { mixIds: ['own-moss'] }, clays: 'none' });
  const wasm = new URL(
    '../../node_modules/zxing-wasm/dist/reader/zxing_reader.wasm',
    import.meta.url,
  );
  prepareZXingModule({ overrides: { wasmBinary: new Uint8Array(readFileSync(wasm)).buffer } });
});

async function card(more: Partial<CardCall> = {}): Promise<Uint8Array> {
  const call = {
    choice: choiceOf({ mixes: { mixIds: ['own-moss'] } }),
    as: 'png',
    size: 'portrait',
    paper: 'A4',
    others: false,
    ...more,
  } as const;
  const [made] = await makeCards(book, call, 'test', await drawer(), async () => []);
  return made.bytes;
}

/** What an independent reader sees. */
async function seenByOther(picture: Uint8Array): Promise<string | undefined> {
  const { data, info } = await sharp(picture)
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const image = {
    width: info.width,
    height: info.height,
    data: new Uint8ClampedArray(data),
    colorSpace: 'srgb',
  };
  const [found] = await readBarcodes(image as ImageData, { formats: ['QRCode'], tryHarder: true });
  return found?.text;
}

describe('a recipe card as a picture', () => {
  it.each(Object.keys(CARD_SIZES) as CardSize[])(
    'has its size and its colour in sRGB: %s',
    async (size) => {
      const png = await card({ size });
      const { width, height, icc } = await sharp(png).metadata();
      expect([width, height]).toEqual([...CARD_SIZES[size]]);
      expect(icc?.toString('latin1')).toContain('s\0R\0G\0B');
      const { data, info } = await sharp(png, { ignoreIcc: true })
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const at = (200 * info.width + 200) * info.channels;
      const { rgb } = srgbFromLab(file.mixes[0].colour!.lab);
      rgb.forEach((v, i) => {
        expect(Math.abs(data[at + i] - v * 255)).toBeLessThanOrEqual(1);
      });
    },
  );

  it('carries nothing but the picture and the profile', async () => {
    const png = Buffer.from(await card());
    const names: string[] = [];
    for (let at = 8; at < png.length; at += 12 + png.readUInt32BE(at)) {
      names.push(png.toString('latin1', at + 4, at + 8));
    }
    expect([...new Set(names)]).toEqual(['IHDR', 'iCCP', 'IDAT', 'IEND']);
    const start = png.indexOf('iCCP') + 4;
    const length = png.readUInt32BE(start - 8);
    const profile = inflateSync(png.subarray(start + 6, start + length));
    expect(profile.toString('latin1', 36, 40)).toBe('acsp');
  });

  it('is read back by an independent reader and by the program', async () => {
    const png = await card();
    const wanted = payloadOfMix(file, 0);
    expect(await seenByOther(png)).toBe(wanted);
    expect(await readQr(png)).toBe(wanted);
    expect(shareFromPayload(wanted).mixes[0].name).toBe('Rock moss');
  });

  it.each([0, 15, 30, 45])('is read from a photo taken from %i degrees aside', async (degrees) => {
    // Seen from aside the card is narrower, on a table, under uneven light.
    const png = await card();
    const { width: full } = await sharp(png).metadata();
    const narrow = Math.round(full! * Math.cos((degrees * Math.PI) / 180));
    const seen = await sharp(png).resize(narrow, 1350, { fit: 'fill' }).blur(0.8).png().toBuffer();
    const light = Buffer.from(
      '<svg width="1500" height="1700"><defs><linearGradient id="g"><stop stop-opacity="0"/><stop offset="1" stop-opacity=".45"/></linearGradient></defs><rect width="1500" height="1700" fill="url(#g)"/></svg>',
    );
    const table = await sharp({
      create: { width: 1500, height: 1700, channels: 3, background: '#8d7f70' },
    })
      .composite([
        {
          input: await sharp(seen).rotate(7, { background: '#8d7f70' }).toBuffer(),
          left: 20,
          top: 60,
        },
        { input: light },
      ])
      .jpeg({ quality: 80 })
      .toBuffer();
    const wanted = payloadOfMix(file, 0);
    expect(await seenByOther(table)).toBe(wanted);
    expect(await readQr(table)).toBe(wanted);
  });
});

describe('a recipe card as a page', () => {
  it('is a page of its paper, the same bytes each time', async () => {
    const pdf = Buffer.from(await card({ as: 'pdf' }));
    expect(pdf.equals(Buffer.from(await card({ as: 'pdf' })))).toBe(true);
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
    expect(pdf.toString('latin1')).toContain('[0 0 595.275591 841.889764]');
  });
});
