import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, it, vi } from 'vitest';
import { displayP3Profile, withProfile } from '../../test/studio-camera/photograph.ts';
import { decodePhoto } from './decode-photo.ts';

const WIDTH = 96;
const HEIGHT = 80;
/** A ramp with a corner of its own, so that a turn shows. */
const ramp = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => {
  const x = Math.floor(i / 3) % WIDTH;
  const y = Math.floor(i / 3 / WIDTH);
  return [2 * x, 3 * y, x < 10 && y < 10 ? 250 : 40][i % 3];
});
const raw = { width: WIDTH, height: HEIGHT, channels: 3 as const };
const image = () => sharp(ramp, { raw });

describe('decodePhoto', () => {
  it.each([
    ['PNG', () => image().png().toBuffer()],
    ['TIFF', () => image().tiff({ compression: 'none' }).toBuffer()],
    ['WebP', () => image().webp({ lossless: true }).toBuffer()],
  ] as const)('gives the codes of a %s as they are', async (kind, encode) => {
    const got = await decodePhoto(new Uint8Array(await encode()), 'a');
    expect(got.kind).toBe(kind);
    expect(got.picture.codes).toEqual(ramp);
    expect(got.profile).toBe('none');
    expect(got.notes[0]).toContain('no colour profile');
  });

  it('reads a HEIC with its profile', async () => {
    const heic = readFileSync(new URL('../../test/oracles/photo/ramp.heic', import.meta.url));
    const got = await decodePhoto(new Uint8Array(heic), 'a.heic');
    const { picture } = got;
    expect([got.kind, picture.width, picture.height]).toEqual(['HEIC', WIDTH, HEIGHT]);
    expect(got.profileFollowed).toBe(true);
    // The ramp was converted to Display P3 when it was written: the light is the same.
    const plain = await decodePhoto(new Uint8Array(await image().png().toBuffer()), 'a.png');
    const light = ({ picture: p, colours: [{ curves, toXyz }] }: typeof got, at: number) =>
      [0, 1, 2].map((r) =>
        [0, 1, 2].reduce((sum, c) => sum + toXyz[3 * r + c] * curves[c][p.codes[3 * at + c]], 0),
      );
    let off = 0;
    for (let at = 0; at < WIDTH * HEIGHT; at++) {
      const [one, other] = [light(got, at), light(plain, at)];
      for (let r = 0; r < 3; r++) off += Math.abs(one[r] - other[r]) / (3 * WIDTH * HEIGHT);
    }
    // Written with loss, and its colours at half the resolution.
    expect(off).toBeLessThan(0.01);
  });

  it('says nothing on the console of a HEIC it cannot read', async () => {
    const heic = readFileSync(new URL('../../test/oracles/photo/ramp.heic', import.meta.url));
    const log = vi.spyOn(console, 'log');
    await expect(decodePhoto(new Uint8Array(heic.subarray(0, 400)), 'a')).rejects.toMatchObject({
      code: 'photo-unreadable',
    });
    expect(log).not.toHaveBeenCalled();
    log.mockRestore();
  });

  it('reads all 16 bits of a deep PNG', async () => {
    const deep = Uint16Array.from(ramp, (v, i) => v * 257 + (i % 5));
    const png = await sharp(deep, { raw }).toColourspace('rgb16').png().toBuffer();
    const got = await decodePhoto(new Uint8Array(png), 'deep');
    expect(got.bits).toBe(16);
    expect(got.picture.codes).toEqual(deep);
  });

  it('uses a profile without changing the codes', async () => {
    const plain = await image().jpeg({ quality: 100, chromaSubsampling: '4:4:4' }).toBuffer();
    const tagged = withProfile(plain, await displayP3Profile());
    const [one, other] = [await decodePhoto(plain, 'p'), await decodePhoto(tagged, 't')];
    expect(other.profileFollowed).toBe(true);
    expect(other.picture.codes).toEqual(one.picture.codes);
    expect(other.colours[0].toXyz[0]).toBeGreaterThan(one.colours[0].toXyz[0]);
  });

  it('turns a photo upright', async () => {
    // EXIF orientation 6: turn a quarter clockwise to see it upright.
    const lying = await image().jpeg({ quality: 100 }).withMetadata({ orientation: 6 }).toBuffer();
    const { picture, turned } = await decodePhoto(new Uint8Array(lying), 'lying');
    expect([picture.width, picture.height, turned]).toEqual([HEIGHT, WIDTH, true]);
    // The marked corner goes to the top right.
    expect(picture.codes[3 * (HEIGHT - 4) + 2]).toBeGreaterThan(180);
    expect(picture.codes[2 + 3 * 4]).toBeLessThan(120);
  });

  it.each([
    ['text', () => new TextEncoder().encode('tile,of,L,a,b\n')],
    ['nothing', () => new Uint8Array()],
    ['a drawing', () => new TextEncoder().encode('<svg xmlns="http://www.w3.org/2000/svg"/>')],
    ['a PDF', () => new TextEncoder().encode('%PDF-1.7\n')],
  ])('refuses %s in words', async (_, bytes) => {
    await expect(decodePhoto(bytes(), 'what.jpg')).rejects.toMatchObject({
      code: 'photo-unreadable',
      kind: 'bad-input',
    });
  });

  it('refuses black and white, print colours and tiny pictures', async () => {
    const grey = await image().greyscale().toColourspace('b-w').png().toBuffer();
    const greyInThree = await image().greyscale().toColourspace('srgb').jpeg().toBuffer();
    const ink = await image().toColourspace('cmyk').jpeg().toBuffer();
    const stamp = await image().resize(40, 30).png().toBuffer();
    for (const bytes of [grey, greyInThree, ink, stamp]) {
      await expect(decodePhoto(new Uint8Array(bytes), 'x')).rejects.toMatchObject({
        code: 'photo-unusable',
      });
    }
  });

  it('refuses a small file with an enormous size in its header, without unpacking', async () => {
    const png = new Uint8Array(await image().png().toBuffer());
    // Width and height are at bytes 16 and 20 of the header chunk; the checksum is then made again.
    const view = new DataView(png.buffer, png.byteOffset);
    view.setUint32(16, 60_000);
    view.setUint32(20, 60_000);
    view.setUint32(29, crc32(png.subarray(12, 29)));
    await expect(decodePhoto(png, 'bomb.png')).rejects.toMatchObject({
      code: 'photo-unusable',
      detail: expect.stringContaining('100 megapixels'),
    });
  });
});

/** Source: W3C PNG, annex D */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
