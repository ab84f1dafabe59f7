/** Types of photo that can be read. The first bytes decide, not the name of the file. */
export type PhotoKind = 'JPEG' | 'PNG' | 'TIFF' | 'WebP' | 'HEIC';

export const HEIC_BRANDS = new Set([
  'heic',
  'heix',
  'hevc',
  'hevx',
  'heim',
  'heis',
  'mif1',
  'msf1',
]);

/**
 * Source: ITU-T T.81 (JPEG), W3C PNG, TIFF 6.0, RFC 9649 (WebP), ISO/IEC 23008-12 (HEIF brands)
 */
export function photoKind(bytes: Uint8Array): PhotoKind | undefined {
  const text = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to));
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return 'JPEG';
  if (text(1, 4) === 'PNG' && bytes[0] === 0x89) return 'PNG';
  if (text(0, 4) === 'II*\0' || text(0, 4) === 'MM\0*') return 'TIFF';
  if (text(0, 4) === 'RIFF' && text(8, 12) === 'WEBP') return 'WebP';
  if (text(4, 8) === 'ftyp' && HEIC_BRANDS.has(text(8, 12))) return 'HEIC';
  return undefined;
}
