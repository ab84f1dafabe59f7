import { readFileSync } from 'node:fs';
import sharp, { type Sharp } from 'sharp';
import { randomFrom } from '../../bench/random.ts';
import { type Photographed, photographOf } from '../studio-camera/photograph.ts';
import { randomScene, type Scene } from '../studio-camera/scene.ts';
import { tableScene } from '../studio-camera/table-scene.ts';

/** What a photo is made of before something is done to it. */
export interface AbuseBases {
  /** A tray sheet with chart and tiles. */
  readonly tray: Photographed;
  /** Tiles on a table with a chart and no sheet. */
  readonly table: Photographed;
}

/** Something that happens to photos, or is taken for one. */
export interface Abuse {
  readonly what: string;
  /** Of which the tiles are known; absent where no tile can be read. */
  readonly of?: keyof AbuseBases;
  readonly make: (bases: AbuseBases) => Promise<Uint8Array>;
}

interface Pixels {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}
type Rgb = readonly [number, number, number];

export async function abuseBases(seed: number): Promise<AbuseBases> {
  const random = randomFrom(seed);
  const plain = (scene: Scene): Scene => ({
    ...scene,
    shadow: undefined,
    hand: undefined,
    output: 'sRGB',
    jpegQuality: 92,
    pose: { ...scene.pose, turnDeg: 0, tiltDeg: 6 },
    widthPx: 1200,
    heightPx: 900,
  });
  const tray = plain(randomScene(random, 'D65'));
  const upright = { ...tray, widthPx: 900, heightPx: 1200 };
  const table = plain(
    tableScene(random, {
      table: 'grey cloth',
      light: 'clear',
      tiles: 10,
      arrangement: 'scattered',
      beside: 'chart',
    }),
  );
  return {
    tray: await photographOf(upright, random),
    table: await photographOf(table, random),
  };
}

const bytesOf = (buffer: Buffer) => new Uint8Array(buffer);
const pixelsOf = async (bytes: Uint8Array): Promise<Pixels> => {
  const { data, info } = await sharp(bytes)
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { data: new Uint8Array(data), width: info.width, height: info.height };
};
const image = ({ data, width, height }: Pixels) =>
  sharp(data, { raw: { width, height, channels: 3 } });
const jpeg = async (pixels: Pixels, quality = 92) =>
  bytesOf(await image(pixels).jpeg({ quality, chromaSubsampling: '4:4:4' }).toBuffer());

/** Every pixel by itself: its codes, its place as a share of width and height. */
function each(
  { data, width, height }: Pixels,
  change: (rgb: Rgb, u: number, v: number) => readonly number[],
): Pixels {
  const out = new Uint8Array(data.length);
  for (let i = 0; i < width * height; i++) {
    const rgb: Rgb = [data[3 * i], data[3 * i + 1], data[3 * i + 2]];
    const next = change(rgb, (i % width) / width, Math.floor(i / width) / height);
    for (let c = 0; c < 3; c++) out[3 * i + c] = Math.min(255, Math.max(0, Math.round(next[c])));
  }
  return { data: out, width, height };
}

const text = (value: string) => new TextEncoder().encode(value);
const grey = ([r, g, b]: Rgb) => 0.3 * r + 0.59 * g + 0.11 * b;
const linear = (code: number) => (code / 255) ** 2.2;
const coded = (light: number) => 255 * Math.max(0, light) ** (1 / 2.2);
const lit = (rgb: Rgb, left: number) => rgb.map((v) => coded(linear(v) * left));

/** A change of pixels as an abuse of the tray and of the table. */
function pixelwise(
  what: string,
  of: keyof AbuseBases,
  change: (rgb: Rgb, u: number, v: number) => readonly number[],
  quality?: number,
): Abuse {
  return {
    what,
    of,
    make: async (bases) => jpeg(each(await pixelsOf(bases[of].bytes), change), quality),
  };
}

function sharpened(
  what: string,
  of: keyof AbuseBases | undefined,
  base: keyof AbuseBases,
  change: (image: Sharp, bases: AbuseBases) => Sharp | Promise<Sharp>,
): Abuse {
  return {
    what,
    ...(of === undefined ? {} : { of }),
    make: async (bases) =>
      bytesOf(await (await change(sharp(bases[base].bytes), bases)).toBuffer()),
  };
}

/** Two pictures in one file: the tray, and the tray mirrored. */
async function moving({ bytes }: Photographed, width: number): Promise<Sharp> {
  const one = await sharp(bytes).resize(width).png().toBuffer();
  return sharp([one, await sharp(one).flop().png().toBuffer()], { join: { animated: true } });
}

/** Files that are no photo, or a damaged or unusual one. */
export const FILE_ABUSES: readonly Abuse[] = [
  { what: 'text named .jpg', make: async () => text('Kelp, 3 parts Limpet\n'.repeat(50)) },
  { what: 'an empty file', make: async () => new Uint8Array(0) },
  { what: 'a web page', make: async () => text('<!doctype html><title>Tray</title>') },
  { what: 'an SVG', make: async () => text('<svg xmlns="http://www.w3.org/2000/svg"/>') },
  { what: 'a PDF', make: async () => text('%PDF-1.7\n1 0 obj\n<<>>\nendobj\n') },
  { what: 'a zip archive', make: async () => Uint8Array.of(80, 75, 3, 4, 20, 0, 0, 0, 8, 0) },
  {
    what: 'a film',
    make: async () => Uint8Array.of(0, 0, 0, 24, ...text('ftypisom'), ...new Uint8Array(64)),
  },
  {
    what: 'a moving GIF',
    make: async ({ tray }) => bytesOf(await (await moving(tray, 300)).gif().toBuffer()),
  },
  {
    what: 'a JPEG cut at half',
    make: async ({ tray }) => tray.bytes.slice(0, tray.bytes.length / 2),
  },
  {
    what: 'a JPEG with a hole',
    make: async ({ tray }) => {
      const out = tray.bytes.slice();
      out.fill(0, out.length / 2, out.length / 2 + 4000);
      return out;
    },
  },
  {
    what: 'a HEIC cut off',
    make: async () =>
      new Uint8Array(
        readFileSync(new URL('../oracles/photo/ramp.heic', import.meta.url)).subarray(0, 2000),
      ),
  },
  sharpened('print colours (CMYK)', undefined, 'tray', (now) => now.toColourspace('cmyk').jpeg()),
  sharpened('black and white', undefined, 'tray', (now) => now.greyscale().jpeg()),
  {
    what: 'black and white, saved in colour',
    make: async ({ tray }) =>
      bytesOf(
        await image(each(await pixelsOf(tray.bytes), (rgb) => [grey(rgb), grey(rgb), grey(rgb)]))
          .png()
          .toBuffer(),
      ),
  },
  sharpened('48 pixels wide', undefined, 'tray', (now) => now.resize(48).png()),
  {
    what: 'a PNG that says 60,000 x 60,000',
    make: async ({ tray }) => {
      const out = bytesOf(await sharp(tray.bytes).resize(80).png().toBuffer());
      new DataView(out.buffer).setUint32(16, 60_000);
      new DataView(out.buffer).setUint32(20, 60_000);
      return out;
    },
  },
];

/** Sound files in other forms: they are read like any photo. */
const FORM_ABUSES: readonly Abuse[] = [
  sharpened('16 bit PNG', 'tray', 'tray', (now) => now.toColourspace('rgb16').png()),
  sharpened('TIFF', 'tray', 'tray', (now) => now.tiff({ compression: 'lzw' })),
  {
    what: 'a moving WebP: its first picture is read',
    of: 'tray',
    make: async ({ tray }) =>
      bytesOf(await (await moving(tray, 900)).webp({ quality: 92 }).toBuffer()),
  },
  sharpened('PNG with transparency', 'tray', 'tray', (now) => now.ensureAlpha(0.5).png()),
  sharpened('PNG of 256 colours', 'tray', 'tray', (now) => now.png({ palette: true })),
  ...[2, 3, 5, 6, 8].map((orientation) =>
    sharpened(`orientation flag ${orientation}`, 'tray', 'tray', async (now) => {
      // Turned back first, so that the flag makes it upright.
      const back = { 2: 0, 3: 180, 5: 270, 6: 270, 8: 90 }[orientation] ?? 0;
      const flipped = orientation === 2 || orientation === 5;
      const turned = await now.rotate(back).flop(flipped).png().toBuffer();
      return sharp(turned).withMetadata({ orientation }).jpeg({ quality: 92 });
    }),
  ),
];

const SHAPE_ABUSES: readonly Abuse[] = [
  sharpened('turned by 90 degrees', 'tray', 'tray', (now) => now.rotate(90).jpeg()),
  sharpened('upside down', 'tray', 'tray', (now) => now.rotate(180).jpeg()),
  sharpened('turned by 33 degrees', 'tray', 'tray', (now) => now.rotate(33).jpeg()),
  sharpened('mirrored', undefined, 'tray', (now) => now.flop().jpeg()),
  sharpened('mirrored, no sheet', undefined, 'table', (now) => now.flop().jpeg()),
  sharpened('upper half of the sheet', 'tray', 'tray', (now) =>
    now.extract({ left: 0, top: 0, width: 900, height: 600 }).jpeg(),
  ),
  sharpened('lower half of the sheet', 'tray', 'tray', (now) =>
    now.extract({ left: 0, top: 600, width: 900, height: 600 }).jpeg(),
  ),
  sharpened('left half of the sheet', 'tray', 'tray', (now) =>
    now.extract({ left: 0, top: 0, width: 450, height: 1200 }).jpeg(),
  ),
  sharpened('320 pixels wide', 'tray', 'tray', (now) => now.resize(320).jpeg({ quality: 92 })),
  sharpened('enlarged to 24 megapixels', 'tray', 'tray', (now) => now.resize(4243).jpeg()),
  sharpened('squeezed to half its height', 'tray', 'tray', (now) =>
    now.resize(900, 600, { fit: 'fill' }).jpeg({ quality: 92 }),
  ),
  sharpened('a screenshot with bars around it', 'tray', 'tray', (now) =>
    now.extend({ top: 300, bottom: 300, left: 100, right: 100, background: '#101014' }).jpeg(),
  ),
];

const CONTENT_ABUSES: readonly Abuse[] = [
  {
    what: 'another photo: a sky',
    make: async ({ table }) =>
      jpeg(
        each(await pixelsOf(table.bytes), (_, u, v) => [90 + 90 * v, 140 + 70 * v, 230 - 20 * u]),
      ),
  },
  {
    what: 'another photo: stripes',
    make: async ({ table }) =>
      jpeg(
        each(await pixelsOf(table.bytes), (_, u) =>
          Math.floor(u * 24) % 2 === 0 ? [170, 60, 50] : [225, 215, 190],
        ),
      ),
  },
  pixelwise('the sheet without tiles: painted over', 'tray', (rgb, u, v) =>
    v > 0.08 && v < 0.92 && u > 0.1 && u < 0.9 ? [228, 226, 222] : rgb,
  ),
  pixelwise('the chart covered', 'tray', (rgb, u, v) => (v > 0.6 && u > 0.05 ? [90, 70, 60] : rgb)),
  sharpened('two charts', 'table', 'table', async (now) => {
    const both = await now.png().toBuffer();
    return sharp(both)
      .extend({ bottom: 900, background: '#777' })
      .composite([{ input: both, left: 0, top: 900 }])
      .jpeg({ quality: 92 });
  }),
  sharpened('two sheets', 'tray', 'tray', async (now) => {
    const one = await now.png().toBuffer();
    return sharp(one)
      .extend({ right: 900, background: '#777' })
      .composite([{ input: one, left: 900, top: 0 }])
      .jpeg({ quality: 92 });
  }),
  pixelwise('a hand shadow, sharp, over half the sheet', 'tray', (rgb, u) =>
    lit(rgb, u < 0.47 ? 0.55 : 1),
  ),
  pixelwise('a hand shadow, soft', 'tray', (rgb, u, v) =>
    lit(rgb, 1 - 0.4 / (1 + Math.exp((u + 0.4 * v - 0.7) / 0.03))),
  ),
  pixelwise('a shadow across the table, sharp', 'table', (rgb, u) => lit(rgb, u < 0.5 ? 0.6 : 1)),
  pixelwise('a shadow across the table, soft', 'table', (rgb, u, v) =>
    lit(rgb, 1 - 0.4 / (1 + Math.exp((u + 0.3 * v - 0.6) / 0.04))),
  ),
  pixelwise('a shadow on one corner of the sheet', 'tray', (rgb, u, v) =>
    lit(rgb, u < 0.3 && v < 0.25 ? 0.7 : 1),
  ),
  pixelwise('a reflection across the sheet', 'tray', (rgb, u, v) => {
    const glare = 0.25 * Math.exp(-(((u - v) / 0.08) ** 2));
    return rgb.map((c) => coded(linear(c) + glare));
  }),
  pixelwise('two lamps of two colours', 'tray', (rgb, u) =>
    [1 + 0.3 * u, 1, 1.3 - 0.6 * u].map((k, c) => coded(linear(rgb[c]) * k * 0.8)),
  ),
];

const noise = (size: number, seed: number) => {
  const random = randomFrom(seed);
  return (rgb: Rgb) => rgb.map((v) => v + size * random.normal());
};

const TONE_ABUSES: readonly Abuse[] = [
  pixelwise('sepia', 'tray', (rgb) => [grey(rgb) * 1.05, grey(rgb) * 0.86, grey(rgb) * 0.66]),
  pixelwise('sepia, no sheet', 'table', (rgb) => [
    grey(rgb) * 1.05,
    grey(rgb) * 0.86,
    grey(rgb) * 0.66,
  ]),
  pixelwise('some noise', 'tray', noise(12, 1)),
  pixelwise('strong noise', 'tray', noise(60, 2)),
  pixelwise('strong noise, no sheet', 'table', noise(60, 3)),
  sharpened('out of focus', 'tray', 'tray', (now) => now.blur(9).jpeg()),
  sharpened('out of focus, no sheet', 'table', 'table', (now) => now.blur(12).jpeg()),
  pixelwise('overexposed by two stops', 'tray', (rgb) => lit(rgb, 4)),
  pixelwise('overexposed, no sheet', 'table', (rgb) => lit(rgb, 4)),
  pixelwise('underexposed by four stops', 'tray', (rgb) => lit(rgb, 1 / 16)),
  pixelwise('underexposed, no sheet', 'table', (rgb) => lit(rgb, 1 / 16)),
  pixelwise('eight levels a channel', 'tray', (rgb) => rgb.map((v) => Math.round(v / 36) * 36)),
  pixelwise('JPEG of quality 5', 'tray', (rgb) => rgb, 5),
  pixelwise('colours doubled by a filter', 'tray', (rgb) =>
    rgb.map((v) => grey(rgb) + 2 * (v - grey(rgb))),
  ),
  pixelwise('half faded by a filter', 'tray', (rgb) => rgb.map((v) => 90 + 0.5 * v)),
  pixelwise('red and blue exchanged', 'tray', ([r, g, b]) => [b, g, r]),
  pixelwise('a negative', 'tray', (rgb) => rgb.map((v) => 255 - v)),
  pixelwise('under a warm bulb, not balanced', 'tray', ([r, g, b]) => [
    coded(linear(r) * 1.1),
    coded(linear(g) * 0.8),
    coded(linear(b) * 0.35),
  ]),
  pixelwise('under a warm bulb, no sheet', 'table', ([r, g, b]) => [
    coded(linear(r) * 1.1),
    coded(linear(g) * 0.8),
    coded(linear(b) * 0.35),
  ]),
  pixelwise('a strong contrast curve', 'tray', (rgb) =>
    rgb.map((v) => 255 / (1 + Math.exp(-(v - 128) / 32))),
  ),
  pixelwise('edges darkened by a filter', 'tray', (rgb, u, v) =>
    lit(rgb, 1 - 1.2 * ((u - 0.5) ** 2 + (v - 0.5) ** 2)),
  ),
];

/** All of them; only the files need no rendered photo of tiles. */
export const ABUSES: readonly Abuse[] = [
  ...FILE_ABUSES,
  ...FORM_ABUSES,
  ...SHAPE_ABUSES,
  ...CONTENT_ABUSES,
  ...TONE_ABUSES,
];
