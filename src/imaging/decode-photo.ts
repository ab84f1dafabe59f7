import decodeHeic from 'heic-decode';
import sharp from 'sharp';
import { AppError } from '../core/errors.ts';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded } from '../core/photo/encoding.ts';
import type { Picture, PictureColour } from '../core/photo/picture.ts';
import type { DecodedPhoto } from '../verbs/photo-port.ts';
import { readProfile } from './icc-profile.ts';
import { photoKind } from './photo-kind.ts';

/** A hundred megapixels: 300 MB of 8-bit codes, 600 MB of 16-bit codes. */
export const MOST_PIXELS = 100_000_000;
const LEAST_SIDE = 64;
const MOST_SECONDS = 120;

interface Raw {
  readonly picture: Picture;
  readonly icc?: Uint8Array;
  readonly turned: boolean;
}

/**
 * The codes of a photo as in the file, upright, with the colours they mean.
 * Shape:   bytes of a JPEG, PNG, TIFF, WebP or HEIC -> picture of 8 or 16 bits and its colours
 * Holds:   colours are not converted: a profile is returned, not applied, because the conversion of the
 *          library works in 8 bits and clips
 * Refuses: other files, damaged files -> photo-unreadable; more than 100 megapixels, a side under 64
 *          pixels, grey or print colours -> photo-unusable (bad-input)
 */
export async function decodePhoto(bytes: Uint8Array, fileName: string): Promise<DecodedPhoto> {
  const kind = photoKind(bytes);
  if (kind === undefined) {
    throw unreadable(fileName, 'the file is not a JPEG, PNG, TIFF, WebP or HEIC photo');
  }
  const raw = kind === 'HEIC' ? await fromHeic(bytes, fileName) : await fromSharp(bytes, fileName);
  if (isColourless(raw.picture)) {
    throw unusable(fileName, 'the photo is black and white', 'Take the photo in colour.');
  }
  const top = raw.picture.codes instanceof Uint8Array ? 255 : 65535;
  const plain = (curve: (v: number) => number, toXyz: readonly number[]): PictureColour => {
    const table = curveTable(top, curve);
    return { curves: [table, table, table], toXyz };
  };
  const profile = raw.icc === undefined ? undefined : readProfile(raw.icc, top);
  const notes: string[] = [];
  if (profile === undefined)
    notes.push(`${fileName} has no colour profile, so its colours are read as sRGB.`);
  else if (profile.colour === undefined) {
    notes.push(
      `The colour profile of ${fileName} (${profile.name}) cannot be used, so its colours are read as sRGB.`,
    );
  }
  const first = profile?.colour ?? plain(srgbDecoded, SRGB_TO_XYZ_D50);
  return {
    picture: raw.picture,
    // Some cameras write plain linear codes without saying so; a chart in the photo shows which.
    colours: [first, plain((v) => v, first.toXyz)],
    kind,
    bits: top === 255 ? 8 : 16,
    profile: profile === undefined ? 'none' : profile.name,
    profileFollowed: profile?.colour !== undefined,
    turned: raw.turned,
    notes,
  };
}

/** Grey saved as three channels; in a colour photo the first pixels already differ. */
function isColourless({ codes }: Raw['picture']): boolean {
  for (let i = 0; i + 2 < codes.length; i += 3) {
    if (codes[i] !== codes[i + 1] || codes[i] !== codes[i + 2]) return false;
  }
  return true;
}

async function fromSharp(bytes: Uint8Array, fileName: string): Promise<Raw> {
  try {
    const image = sharp(bytes, {
      ignoreIcc: true,
      limitInputPixels: MOST_PIXELS,
      failOn: 'error',
      pages: 1,
      sequentialRead: true,
    }).timeout({ seconds: MOST_SECONDS });
    const { width, height, depth, space, channels, icc, orientation } = await image.metadata();
    checkSize(width, height, fileName);
    if (space === 'cmyk' || space === 'lab') {
      throw unusable(
        fileName,
        'the colours are for printing (CMYK or Lab)',
        'Save the photo as RGB.',
      );
    }
    if (channels < 3) {
      throw unusable(fileName, 'the photo is black and white', 'Take the photo in colour.');
    }
    const deep = depth === 'ushort' || depth === 'short' || depth === 'uint' || depth === 'float';
    const { data, info } = await image
      .autoOrient()
      .removeAlpha()
      .toColourspace(deep ? 'rgb16' : 'srgb')
      .raw({ depth: deep ? 'ushort' : 'uchar' })
      .toBuffer({ resolveWithObject: true });
    if (info.channels !== 3)
      throw unusable(
        fileName,
        'the photo does not have three colour channels',
        'Save the photo as RGB.',
      );
    const codes = deep
      ? new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
      : new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    return {
      picture: { width: info.width, height: info.height, codes },
      ...(icc === undefined ? {} : { icc }),
      turned: orientation !== undefined && orientation > 1,
    };
  } catch (thrown) {
    if (thrown instanceof AppError) throw thrown;
    const message = thrown instanceof Error ? thrown.message : String(thrown);
    if (/pixel limit/i.test(message)) throw tooMany(fileName);
    throw unreadable(fileName, 'the file is damaged or cut off', thrown);
  }
}

async function fromHeic(bytes: Uint8Array, fileName: string): Promise<Raw> {
  try {
    const images = await quietly(() => decodeHeic.all({ buffer: bytes }));
    try {
      const [image] = images;
      if (image === undefined) throw unreadable(fileName, 'no picture is in the file');
      const { width, height, decode } = image;
      checkSize(width, height, fileName);
      const { data } = await quietly(decode);
      const raw = { width, height, channels: 4 } as const;
      const codes = new Uint8Array(await sharp(data, { raw }).removeAlpha().raw().toBuffer());
      const icc = profileOfHeic(bytes);
      return {
        picture: { width, height, codes },
        ...(icc === undefined ? {} : { icc }),
        turned: false,
      };
    } finally {
      images.dispose();
    }
  } catch (thrown) {
    if (thrown instanceof AppError) throw thrown;
    throw unreadable(fileName, 'the file is damaged or cut off', thrown);
  }
}

/** The library writes to the console what it could not read; messages to people are written here. */
async function quietly<T>(work: () => Promise<T>): Promise<T> {
  const { log } = console;
  console.log = () => {};
  try {
    return await work();
  } finally {
    console.log = log;
  }
}

/** The colour box of a HEIF: "colr", "prof", then the profile. Source: ISO/IEC 14496-12, 12.1.5 */
function profileOfHeic(bytes: Uint8Array): Uint8Array | undefined {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const at = buffer.indexOf('colrprof');
  if (at < 4) return undefined;
  const size = buffer.readUInt32BE(at - 4);
  const end = at - 4 + size;
  return size > 140 && end <= bytes.length ? bytes.subarray(at + 8, end) : undefined;
}

function checkSize(width: number, height: number, fileName: string): void {
  if (width * height > MOST_PIXELS) throw tooMany(fileName);
  if (width < LEAST_SIDE || height < LEAST_SIDE) {
    throw unusable(
      fileName,
      `the photo is only ${width} x ${height} pixels`,
      'Use the original photo from the camera.',
    );
  }
}

function tooMany(fileName: string): AppError {
  return unusable(
    fileName,
    'the photo has more than 100 megapixels',
    'Save a smaller copy; 12 megapixels are enough.',
  );
}

function unusable(fileName: string, why: string, hint: string): AppError {
  return new AppError({
    code: 'photo-unusable',
    kind: 'bad-input',
    detail: `${fileName} cannot be used: ${why}.`,
    hint,
  });
}

function unreadable(fileName: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'photo-unreadable',
    kind: 'bad-input',
    detail: `${fileName} cannot be read as a photo: ${why}.`,
    hint: 'Check that this is the right file, and copy it from the camera again.',
    cause,
  });
}
