import { crc32, deflateSync } from 'node:zlib';
import sharp from 'sharp';

let profile: Promise<Buffer> | undefined;

/** The sRGB profile that the picture library ships. */
function srgbProfile(): Promise<Buffer> {
  profile ??= sharp({ create: { width: 1, height: 1, channels: 3, background: '#808080' } })
    .withIccProfile('srgb')
    .png()
    .toBuffer()
    .then(async (png) => (await sharp(png).metadata()).icc!);
  return profile;
}

/**
 * An SVG of sRGB colours as a PNG that says its colours are sRGB.
 * Holds:   the codes are those of the SVG: the profile is put in by hand, as a conversion on the way moves
 *          colours; nothing else is written into the file, no date and no name of a program
 * Source:  W3C PNG third edition, chunk iCCP
 */
export async function pngOfSvg(svg: string): Promise<Uint8Array> {
  const { data, info } = await sharp(Buffer.from(svg))
    .flatten({ background: '#ffffff' })
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height, channels } = info;
  const png = await sharp(data, { raw: { width, height, channels } })
    .png({ compressionLevel: 9, palette: false })
    .toBuffer();
  return withProfile(png, await srgbProfile());
}

/** Signature and IHDR, after which a profile must come. */
const HEAD = 8 + 25;

function withProfile(png: Buffer, icc: Buffer): Uint8Array {
  const chunk = chunkOf(
    'iCCP',
    Buffer.concat([Buffer.from('sRGB\0\0', 'latin1'), deflateSync(icc)]),
  );
  return new Uint8Array(Buffer.concat([png.subarray(0, HEAD), chunk, ...chunksAfterHead(png)]));
}

/** What makes the picture, without notes on how it was made. */
function chunksAfterHead(png: Buffer): Buffer[] {
  const kept: Buffer[] = [];
  for (let at = HEAD; at < png.length; ) {
    const length = png.readUInt32BE(at);
    const end = at + 12 + length;
    const name = png.toString('latin1', at + 4, at + 8);
    if (['PLTE', 'IDAT', 'IEND'].includes(name)) kept.push(png.subarray(at, end));
    at = end;
  }
  return kept;
}

function chunkOf(name: string, content: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), content]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(content.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc32(body), body.length + 4);
  return out;
}
