import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { imageSize } from './image-size.ts';

const picture = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 3, background: { r: 90, g: 120, b: 60 } } });

// An independent writer and reader of the same formats: sharp.
describe('the size of a picture from its head', () => {
  it.each([
    ['image/jpeg', () => picture(123, 77).jpeg()],
    ['image/jpeg', () => picture(123, 77).jpeg({ progressive: true })],
    ['image/jpeg', () => picture(123, 77).withMetadata({ orientation: 6 }).jpeg()],
    ['image/png', () => picture(123, 77).png()],
    ['image/webp', () => picture(123, 77).webp()],
    ['image/webp', () => picture(123, 77).webp({ lossless: true })],
    ['image/webp', () => picture(123, 77).withMetadata({ orientation: 1 }).webp()],
    ['image/tiff', () => picture(123, 77).tiff()],
    ['image/tiff', () => picture(123, 77).tiff({ compression: 'lzw', tile: true })],
  ] as const)('is what sharp wrote, %s', async (mediaType, make) => {
    const bytes = await make().toBuffer();
    const { width, height } = await sharp(bytes).metadata();
    expect(imageSize(bytes)).toEqual({ mediaType, widthPx: width, heightPx: height });
  });

  it('of a HEIC is that of its largest picture, not of its tiles', () => {
    const box = (kind: string, ...inside: Buffer[]) => {
      const body = Buffer.concat(inside);
      const head = Buffer.alloc(8);
      head.writeUInt32BE(8 + body.length, 0);
      head.write(kind, 4, 'latin1');
      return Buffer.concat([head, body]);
    };
    const size = (width: number, height: number) => {
      const body = Buffer.alloc(12);
      body.writeUInt32BE(width, 4);
      body.writeUInt32BE(height, 8);
      return box('ispe', body);
    };
    const bytes = Buffer.concat([
      box('ftyp', Buffer.from('heic\0\0\0\0mif1heic', 'latin1')),
      box(
        'meta',
        Buffer.alloc(4),
        box('hdlr', Buffer.alloc(24)),
        box('iprp', box('ipco', size(512, 512), size(4032, 3024), size(320, 240))),
      ),
    ]);
    expect(imageSize(bytes)).toEqual({ mediaType: 'image/heic', widthPx: 4032, heightPx: 3024 });
  });

  it('is none where the head was cut anywhere before it', async () => {
    for (const make of [picture(40, 30).jpeg(), picture(40, 30).png(), picture(40, 30).webp()]) {
      const bytes = await make.toBuffer();
      for (let length = 0; length < 20; length++) {
        expect(imageSize(bytes.subarray(0, length))).toBeUndefined();
      }
    }
  });

  it('ends on a TIFF whose pictures lead to one another in a circle', () => {
    const circle = Buffer.from('49492a000800000001000001030001000000280000000800000000', 'hex');
    expect(imageSize(circle)).toBeUndefined();
  });
});
