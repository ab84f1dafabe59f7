import { invalidInput } from '../errors.ts';

/** The 45 signs that a QR code packs two to 11 bits. */
const SIGNS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';

/**
 * Bytes as text that a QR code holds tightly.
 * Source:  RFC 9285; oracle: its own examples
 */
export function base45FromBytes(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 2) {
    const two = at + 1 < bytes.length;
    let value = two ? bytes[at] * 256 + bytes[at + 1] : bytes[at];
    for (let sign = 0; sign < (two ? 3 : 2); sign++) {
      text += SIGNS[value % 45];
      value = Math.floor(value / 45);
    }
  }
  return text;
}

/** The bytes of such a text. Refuses: anything else -> invalid-input */
export function bytesFromBase45(text: string): Uint8Array {
  if (text.length % 3 === 1) throw invalidInput('The code is cut off.');
  const bytes: number[] = [];
  for (let at = 0; at < text.length; at += 3) {
    const signs = [...text.slice(at, at + 3)].map((sign) => SIGNS.indexOf(sign));
    const value = signs.reduceRight((sum, sign) => sum * 45 + sign, 0);
    const most = signs.length === 3 ? 0xffff : 0xff;
    if (signs.includes(-1) || value > most)
      throw invalidInput('The code has a sign that is wrong.');
    if (signs.length === 3) bytes.push(value >> 8);
    bytes.push(value & 0xff);
  }
  return Uint8Array.from(bytes);
}
