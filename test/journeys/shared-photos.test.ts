import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Book } from '../../src/book/book.ts';
import { allAt, bookServiceOf } from '../../src/book/book-service.ts';
import { savePhoto } from '../../src/book/save-file.ts';
import { gatherShare } from '../../src/book/share/gather-share.ts';
import { lookAtShare, takeShare } from '../../src/book/share/take-share.ts';
import { bytesFromShare, sealed, shareFromBytes } from '../../src/domain/share/share-codec.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { plainJpegSize, SHARED_PHOTO } from '../../src/domain/share/shared-photo.ts';
import { whatLeaves } from '../../src/domain/share/what-leaves.ts';
import { drawer } from '../../src/main/drawer.ts';
import { put } from '../conformance/book-maker.ts';
import { choiceOf, demoShareBook, emptyBook } from '../conformance/demo-share.ts';
import { SECRET, secret } from '../conformance/secret-book.ts';

/** What a camera writes beside a picture: its maker, the moment, the place, words of its owner. */
const EXIF = {
  IFD0: { Make: secret('camera'), Artist: secret('artist'), ImageDescription: secret('words') },
  IFD2: { DateTimeOriginal: '2026:01:02 03:04:05' },
  IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 30/1 0/1', GPSAreaInformation: secret('place') },
};
const [WIDTH, HEIGHT] = [2400, 1600];
let camera: Buffer;
let book: Book;
let file: ShareFile;

const shared = async (more: object) =>
  gatherShare(book, choiceOf({ mixes: { mixIds: ['own-moss', 'blush'] }, ...more }), 'test', {
    drawer,
  });

beforeAll(async () => {
  const pixels = Buffer.from(
    Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => (i * 7 + (i >> 9) * 13) % 256),
  );
  camera = await sharp(pixels, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .withExif(EXIF)
    .jpeg({ quality: 95 })
    .toBuffer();
  book = await demoShareBook();
  const { mediaType, ...size } = {
    mediaType: 'image/jpeg' as const,
    widthPx: WIDTH,
    heightPx: HEIGHT,
  };
  await savePhoto(book, {
    bytes: camera,
    body: { mediaType, ...size, fileName: secret('file.jpg') },
    what: 'a photo',
    id: 'tray',
  });
  await bookServiceOf(book).change({
    what: 'two readings',
    steps: ['own-moss', 'blush'].map((id, i) =>
      put('reading', `read-${id}`, {
        of: { kind: 'mix', id },
        readingKind: 'measured',
        state: 'baked',
        lab: { values: [50 + i, -10, 20], light: 'D50', observer: 2 },
        spread: 1,
        geometry: 'excluded',
        photoId: 'tray',
      }),
    ),
  });
  file = await shared({ withPhotos: true });
});

describe('photos that leave', () => {
  it('stay unless they are ticked, and are said before anything leaves', async () => {
    expect(camera.includes(SECRET)).toBe(true);
    const plain = await shared({});
    expect(plain.photos).toBeUndefined();
    expect(plain.mixes.some(({ photo }) => photo !== undefined)).toBe(false);
    expect(whatLeaves(plain).stays).toContain('photos');
    expect(whatLeaves(file).leaves.join('\n')).toContain('1 photo of these mixes, made small');
    expect(whatLeaves(file).stays).not.toContain('photos');
  });

  it('are small, once for both mixes, and hold the picture alone', async () => {
    expect(file.photos).toHaveLength(1);
    expect(file.mixes.map(({ photo }) => photo)).toEqual([0, 0]);
    const jpeg = Buffer.from(file.photos![0], 'base64');
    expect(jpeg.length).toBeLessThanOrEqual(SHARED_PHOTO.bytes);
    const { width, height, exif, icc, xmp, iptc } = await sharp(jpeg).metadata();
    expect([width, height]).toEqual([1200, 800]);
    expect([exif, icc, xmp, iptc]).toEqual([undefined, undefined, undefined, undefined]);
    expect(plainJpegSize(jpeg)).toEqual({ widthPx: 1200, heightPx: 800 });
  });

  it('take no private word along, in any byte of the file or of the picture', () => {
    const bytes = Buffer.from(bytesFromShare(file));
    const jpeg = Buffer.from(file.photos![0], 'base64');
    for (const one of [bytes, jpeg])
      for (const word of [SECRET, SECRET.toUpperCase(), 'Exif', 'GPS', 'tray', '2026:01:02'])
        expect(one.includes(word), word).toBe(false);
  });

  it('come in with the recipes on the other side, undone in one step', async () => {
    const other = emptyBook();
    const service = bookServiceOf(other);
    const came = shareFromBytes(bytesFromShare(file), 'a.share.json');
    await lookAtShare(service, came);
    expect(await allAt(service, 'photo')).toEqual([]);
    await takeShare(service, came, other.ports.newId);
    const [photo, ...more] = await allAt(service, 'photo');
    expect(more).toEqual([]);
    expect(photo.body).toMatchObject({ mediaType: 'image/jpeg', widthPx: 1200, heightPx: 800 });
    const kept = Buffer.from(await other.ports.files.get(photo.body.sha256));
    expect(kept.toString('base64')).toBe(file.photos![0]);
    const mixes = new Set((await allAt(service, 'mix')).map(({ id }) => id));
    const shown = (await allAt(service, 'reading')).filter(({ body }) => mixes.has(body.of.id));
    expect(shown.map(({ body }) => body.photoId)).toEqual([photo.id, photo.id]);
    await service.undo();
    expect(await allAt(service, 'photo')).toEqual([]);
    expect(await allAt(service, 'mix')).toEqual([]);
  });
});

describe('a picture that comes in', () => {
  const withPhoto = (jpeg: Uint8Array) => {
    const { seal: _seal, ...rest } = file;
    return () => sealed({ ...rest, photos: [Buffer.from(jpeg).toString('base64')] });
  };
  const small = () => Buffer.from(file.photos![0], 'base64');
  const inserted = (segment: readonly number[]) =>
    Buffer.concat([small().subarray(0, 2), Buffer.from(segment), small().subarray(2)]);

  it('is refused with anything beside the picture', async () => {
    const texts = [...Buffer.from('private')];
    const length = [0, texts.length + 2];
    const cases: Readonly<Record<string, Uint8Array>> = {
      'as a camera wrote it': camera,
      'a comment': inserted([0xff, 0xfe, ...length, ...texts]),
      'a place': inserted([0xff, 0xe1, ...length, ...texts]),
      'a profile': inserted([0xff, 0xe2, ...length, ...texts]),
      'bytes behind the end': Buffer.concat([small(), Buffer.from(texts)]),
      'a second picture behind': Buffer.concat([small(), small()]),
      'cut off': small().subarray(0, small().length - 2),
      'no picture': Buffer.from('<svg onload="x()"/>'),
      nothing: Buffer.alloc(0),
      'another type': await sharp(small()).png().toBuffer(),
      'too wide': await sharp(small()).resize(1400, 20, { fit: 'fill' }).jpeg().toBuffer(),
    };
    expect(withPhoto(small())).not.toThrow();
    for (const [what, jpeg] of Object.entries(cases))
      expect(withPhoto(jpeg), what).toThrow(/photos/);
  });
});
