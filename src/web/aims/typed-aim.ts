import { labFromHex, labFromSrgb } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** A typed colour, or what is wrong with the text. */
export type TypedAim = { readonly lab: Lab; readonly words: string } | { readonly no: string };

const NUMBER = '([-+]?\\d+(?:[.,]\\d+)?)';
/** L* a* b*, with or without their letters. */
const LAB = new RegExp(
  `^(?:cie)?(?:lab)?[*:=\\s(]*(?:L\\*?[:=\\s]*)?${NUMBER}%?[\\s;,/]+(?:a\\*?[:=\\s]*)?${NUMBER}[\\s;,/]+(?:b\\*?[:=\\s]*)?${NUMBER}[\\s)]*$`,
  'i',
);
const RGB = /^rgb[\s(:=]*(\d{1,3})[\s,;/]+(\d{1,3})[\s,;/]+(\d{1,3})[\s)]*$/i;

/**
 * Reads a typed colour: `#8a3b2c`, L* a* b* such as `52 -18 22` (D50, 2 degrees), or a Munsell colour such
 * as `5GY 5/4`, whose tables are fetched when first needed.
 */
export async function typedAim(text: string): Promise<TypedAim> {
  // A minus sign may come as any kind of dash.
  const plain = text.trim().replace(/[\u2010-\u2015\u2212]/g, '-');
  if (plain === '') return { no: 'Type a colour first.' };
  if (/^#?(?:[0-9a-f]{3}|[0-9a-f]{6})$/i.test(plain)) {
    return { lab: labFromHex(plain), words: plain };
  }
  const codes = RGB.exec(plain)?.slice(1).map(Number);
  if (codes !== undefined) {
    const [r, g, b] = codes;
    if (Math.max(r, g, b) > 255) return { no: 'Screen colours go from 0 to 255.' };
    return { lab: labFromSrgb([r / 255, g / 255, b / 255]), words: `rgb ${r} ${g} ${b}` };
  }
  const three = LAB.exec(plain)
    ?.slice(1)
    .map((v) => Number(v.replace(',', '.')));
  if (three !== undefined) {
    const [l, a, b] = three;
    if (l < 0 || l > 100) return { no: 'L* goes from 0 (black) to 100 (white).' };
    if (Math.abs(a) > 150 || Math.abs(b) > 150) return { no: 'a* and b* go from -150 to 150.' };
    return { lab: [l, a, b], words: `L* ${l}, a* ${a}, b* ${b}` };
  }
  const { parseMunsell } = await import('../../core/colour/munsell-notation.ts');
  const { labFromMunsell } = await import('../../core/colour/munsell.ts');
  try {
    const found = labFromMunsell(parseMunsell(plain.replace(/,/g, '.')));
    if (found.held) return { lab: found.lab, words: plain };
    return { no: 'No surface has that much chroma at this value. Type less chroma.' };
  } catch {
    return {
      no: 'Type #8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4.',
    };
  }
}
