// Draws the page's icons into src/web/public: the mark, in greys alone, like the frame.
// npx tsx tools/make-icons.ts
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { hexFromLab } from '../src/core/colour/display.ts';
import { MARK_PATH } from '../src/web/look/mark.ts';

const INTO = fileURLToPath(new URL('../src/web/public/', import.meta.url));
const grey = (lightness: number) => hexFromLab([lightness, 0, 0]);
const SIDE = 512;

/**
 * The mark, light on dark. `margin` is the share of a side left free: maskable icons may lose a fifth
 * around.
 */
function icon(margin: number): string {
  const scale = (SIDE * (1 - 2 * margin)) / 16;
  const at = SIDE * margin;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${SIDE} ${SIDE}"><title>Kneadwell</title><rect width="${SIDE}" height="${SIDE}" fill="${grey(8)}"/><path transform="translate(${at} ${at}) scale(${scale})" fill="${grey(98)}" d="${MARK_PATH}"/></svg>\n`;
}

async function png(name: string, svg: string, px: number): Promise<void> {
  const bytes = await sharp(Buffer.from(svg)).resize(px, px).png({ palette: true }).toBuffer();
  writeFileSync(`${INTO}${name}`, bytes);
}

const plain = icon(0.16);
writeFileSync(`${INTO}icon.svg`, plain);
await png('icon-192.png', plain, 192);
await png('icon-512.png', plain, 512);
await png('icon-maskable-512.png', icon(0.24), 512);
await png('icon-touch-180.png', plain, 180);
