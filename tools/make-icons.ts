// Draws the page's icons into src/web/public: pieces of a recipe, in greys alone, like the frame.
// npx tsx tools/make-icons.ts
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { hexFromLab } from '../src/core/colour/display.ts';

const INTO = fileURLToPath(new URL('../src/web/public/', import.meta.url));
const grey = (lightness: number) => hexFromLab([lightness, 0, 0]);

/**
 * Three pieces of a light clay and one of a dark, and under them their mix. `margin` is the share
 * of a side left free: maskable icons may lose a fifth around.
 */
function icon(margin: number): string {
  const side = 512;
  const inside = side * (1 - 2 * margin);
  const unit = inside / 15;
  const at = (v: number) => (side * margin + v * unit).toFixed(2);
  const size = (v: number) => (v * unit).toFixed(2);
  const box = (x: number, y: number, w: number, h: number, lightness: number) =>
    `<rect x="${at(x)}" y="${at(y)}" width="${size(w)}" height="${size(h)}" fill="${grey(lightness)}"/>`;
  const pieces = [88, 88, 88, 55].map((lightness, i) => box(i * 4, 1, 3, 3, lightness));
  const made = box(0, 5, 15, 9, 80);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${side} ${side}"><title>Kneadwell</title><rect width="${side}" height="${side}" fill="${grey(18)}"/>${pieces.join('')}${made}</svg>\n`;
}

async function png(name: string, svg: string, px: number): Promise<void> {
  const bytes = await sharp(Buffer.from(svg)).resize(px, px).png({ palette: true }).toBuffer();
  writeFileSync(`${INTO}${name}`, bytes);
}

const plain = icon(0.14);
writeFileSync(`${INTO}icon.svg`, plain);
await png('icon-192.png', plain, 192);
await png('icon-512.png', plain, 512);
await png('icon-maskable-512.png', icon(0.22), 512);
await png('icon-touch-180.png', plain, 180);
