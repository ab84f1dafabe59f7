import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';

const at = (name: string) => fileURLToPath(new URL(`../public/${name}`, import.meta.url));
const manifest = JSON.parse(readFileSync(at('kneadwell.webmanifest'), 'utf8')) as {
  icons: { src: string; sizes: string; type: string; purpose?: string }[];
};

describe('the icons', () => {
  it('are as large as the manifest says, and have no colour', async () => {
    const pictures = manifest.icons.filter(({ type }) => type === 'image/png');
    expect(pictures.length).toBe(3);
    for (const { src, sizes } of pictures) {
      const { data, info } = await sharp(at(src.slice(1)))
        .toColourspace('srgb')
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect(`${info.width}x${info.height}`).toBe(sizes);
      let most = 0;
      for (let i = 0; i < data.length; i += info.channels) {
        const of = [...data.subarray(i, i + 3)];
        most = Math.max(most, Math.max(...of) - Math.min(...of));
      }
      expect(most).toBe(0);
    }
  });

  // Web Application Manifest, maskable icons: the safe zone is a circle of 40 % of the side.
  it('keep what is drawn within the circle no mask may cut', async () => {
    const { src } = manifest.icons.find(({ purpose }) => purpose === 'maskable')!;
    const { data, info } = await sharp(at(src.slice(1)))
      .greyscale()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const ground = data[0];
    let farthest = 0;
    for (let y = 0; y < info.height; y++)
      for (let x = 0; x < info.width; x++) {
        if (data[(y * info.width + x) * info.channels] === ground) continue;
        farthest = Math.max(farthest, Math.hypot(x + 0.5 - 256, y + 0.5 - 256));
      }
    expect(farthest).toBeGreaterThan(150);
    expect(farthest).toBeLessThanOrEqual(0.4 * 512);
  });
});
