import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import type { Random } from '../../bench/random.ts';

export interface BrokenPhoto {
  readonly bytes: Uint8Array;
  readonly what: string;
}

/** Small photos of every kind, then cut off, overwritten, doubled or mixed with each other. */
export async function brokenPhotos(random: Random, count: number): Promise<BrokenPhoto[]> {
  const [width, height] = [160, 120];
  const codes = Uint8Array.from({ length: width * height * 3 }, () => random.whole(0, 255));
  const image = () => sharp(codes, { raw: { width, height, channels: 3 } });
  const whole = [
    await image().jpeg({ quality: 80 }).toBuffer(),
    await image().jpeg({ progressive: true }).toBuffer(),
    await image().png().toBuffer(),
    await image().tiff({ compression: 'lzw' }).toBuffer(),
    await image().webp().toBuffer(),
    readFileSync(new URL('../oracles/photo/ramp.heic', import.meta.url)),
  ].map((bytes) => new Uint8Array(bytes));
  return Array.from({ length: count }, (_, i) => {
    const kind = i % whole.length;
    const bytes = whole[kind].slice();
    const way = random.whole(0, 4);
    if (way === 0)
      return { bytes: bytes.slice(0, random.whole(0, bytes.length)), what: `${i} cut` };
    if (way === 1) {
      const changes = random.whole(1, 60);
      for (let k = 0; k < changes; k++)
        bytes[random.whole(0, bytes.length - 1)] = random.whole(0, 255);
      return { bytes, what: `${i} overwritten` };
    }
    if (way === 2) {
      // Most of what can go wrong is in the header.
      const changes = random.whole(1, 12);
      for (let k = 0; k < changes; k++)
        bytes[random.whole(4, Math.min(300, bytes.length) - 1)] = random.whole(0, 255);
      return { bytes, what: `${i} head overwritten` };
    }
    if (way === 3) {
      const from = random.whole(0, bytes.length - 1);
      bytes.fill(random.whole(0, 255), from, from + random.whole(1, 400));
      return { bytes, what: `${i} blotted` };
    }
    const other = whole[random.whole(0, whole.length - 1)];
    const at = random.whole(0, bytes.length);
    const joined = new Uint8Array(at + other.length);
    joined.set(bytes.subarray(0, at));
    joined.set(other, at);
    return { bytes: joined, what: `${i} joined` };
  });
}
