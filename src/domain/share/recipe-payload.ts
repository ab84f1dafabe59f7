import { AppError } from '../../core/errors.ts';
import { itemAt } from '../../core/numeric/pairs.ts';
import { base45FromBytes, bytesFromBase45 } from '../../core/share/base45.ts';
import { LICENCE_IDS } from './licences.ts';
import { sealed } from './share-codec.ts';
import { MIX_LOOKS, type ShareFile } from './share-file.ts';
import { titleOfShared } from './what-leaves.ts';

/** What a card's code begins with; the digit is the version. */
const MARK = 'KNEADWELL1:';
const BLOCK_TYPES = [
  'opaque',
  'translucent',
  'pearl',
  'metallic',
  'glitter',
  'fluorescent',
] as const;
const NONE = 255;

/**
 * One mix of a share file as the text of a QR code: name, author, licence, colour, clays with their lines and
 * colours, parts. Three clays fit a code of 41 modules, 12 one of 65.
 * Shape:   docs/share-file.md has the bytes in order
 * Holds:   `shareFromPayload` gives the recipe back, colours to a tenth
 */
export function payloadOfMix(file: ShareFile, index: number): string {
  const mix = itemAt(file.mixes, index);
  const bytes: number[] = [];
  const byte = (value: number) => bytes.push(Math.max(0, Math.min(255, Math.round(value))));
  const two = (value: number) => {
    const whole = Math.max(0, Math.min(0xffff, Math.round(value)));
    bytes.push(whole >> 8, whole & 0xff);
  };
  const text = (value: string, most: number) => {
    const written = shortened(value, most);
    bytes.push(written.length, ...written);
  };
  const lab = (value: readonly [number, number, number]) => {
    two(value[0] * 10);
    two((value[1] + 200) * 10);
    two((value[2] + 200) * 10);
  };
  text(mix.name ?? '', 60);
  text(mix.code ?? '', 20);
  text(file.author, 60);
  byte(LICENCE_IDS.indexOf(file.licence));
  byte((mix.basis === 'weight' ? 1 : 0) + 2 * MIX_LOOKS.indexOf(mix.look));
  const { colour } = mix;
  byte(colour === undefined ? NONE : colour.from === 'baked' ? 1 : 0);
  if (colour !== undefined) {
    lab(colour.lab);
    byte(colour.plusMinus * 10);
    byte(colour.gloss * 100);
  }
  const clays = mix.parts.map(({ clay, parts }) => ({ ...itemAt(file.clays, clay), parts }));
  const lines = [...new Set(clays.flatMap(({ line }) => line ?? []))];
  byte(lines.length);
  for (const line of lines) text(itemAt(file.lines, line).name, 30);
  byte(clays.length);
  for (const { name, line, clayType, lab: own, parts } of clays) {
    text(name, 30);
    byte(line === undefined ? NONE : lines.indexOf(line));
    byte(BLOCK_TYPES.indexOf(clayType) + (own === undefined ? 128 : 0));
    if (own !== undefined) lab(own);
    amount(parts);
  }
  const check = crc16(bytes);
  return MARK + base45FromBytes(Uint8Array.from([...bytes, check >> 8, check & 0xff]));

  /** Whole parts up to 252 are one byte, others four digits of a decimal. */
  function amount(parts: number): void {
    if (Number.isInteger(parts) && parts > 0 && parts < 253) return void byte(parts);
    const power = Math.floor(Math.log10(parts));
    byte(253);
    two(Math.round((parts / 10 ** power) * 1000));
    byte(power + 100);
  }
}

/** Whether a text is the code of a card. */
export function isPayload(text: string): boolean {
  return text.startsWith('KNEADWELL') && text.includes(':');
}

/**
 * The recipe of a card's code, as a share file of one mix.
 * Refuses: no code of a card; one of another version; one that is damaged or too long -> card-unreadable
 *          (bad-input)
 */
export function shareFromPayload(text: string): ShareFile {
  if (!isPayload(text)) throw unreadable('The code is not one of a recipe card.');
  if (!text.startsWith(MARK)) {
    throw unreadable('Another version of Kneadwell wrote this code.', 'Update Kneadwell.');
  }
  if (text.length > 4000) throw unreadable('The code is too long for a recipe card.');
  try {
    return read(bytesFromBase45(text.slice(MARK.length)));
  } catch (cause) {
    if (cause instanceof AppError && cause.code === 'card-unreadable') throw cause;
    throw unreadable('The code of the card is damaged.', undefined, cause);
  }
}

function read(all: Uint8Array): ShareFile {
  const bytes = all.subarray(0, -2);
  if (all.length < 3 || crc16([...bytes]) !== all.at(-2)! * 256 + all.at(-1)!) {
    throw unreadable('The code of the card is damaged.');
  }
  let at = 0;
  const byte = () => {
    const value = bytes[at++];
    if (value === undefined) throw unreadable('The code of the card is cut off.');
    return value;
  };
  const two = () => byte() * 256 + byte();
  const text = () => {
    const length = byte();
    if (at + length > bytes.length) throw unreadable('The code of the card is cut off.');
    at += length;
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(at - length, at));
  };
  const lab = (): [number, number, number] => [two() / 10, two() / 10 - 200, two() / 10 - 200];
  const tenths = (value: readonly [number, number, number]) =>
    value.map((v) => Math.round(v * 10) / 10) as [number, number, number];
  const name = text();
  const code = text();
  const author = text();
  const licence = itemAt(LICENCE_IDS, byte());
  const kinds = byte();
  const from = byte();
  const colour =
    from === NONE
      ? undefined
      : {
          lab: tenths(lab()),
          from: from === 1 ? ('baked' as const) : ('predicted' as const),
          plusMinus: byte() / 10,
          gloss: byte() / 100,
        };
  const lines = Array.from({ length: byte() }, () => ({ name: text() }));
  const clays = Array.from({ length: byte() }, () => {
    const called = text();
    const line = byte();
    const type = byte();
    const own = type >= 128 ? undefined : tenths(lab());
    return {
      clay: {
        name: called,
        ...(line === NONE ? {} : { line }),
        clayType: itemAt(BLOCK_TYPES, type % 128),
        ...(own === undefined ? {} : { lab: own }),
      },
      parts: amount(),
    };
  });
  if (at !== bytes.length) throw unreadable('The code of the card is damaged.');
  const mix = {
    ...(code === '' ? {} : { code }),
    ...(name === '' ? {} : { name }),
    basis: kinds % 2 === 1 ? ('weight' as const) : ('volume' as const),
    parts: clays.map(({ parts }, clay) => ({ clay, parts })),
    ...(colour === undefined ? {} : { colour }),
    look: itemAt(MIX_LOOKS, Math.floor(kinds / 2)),
  };
  return sealed({
    format: 'kneadwell-share',
    version: 1,
    madeWith: 'recipe card',
    title: titleOfShared(mix),
    author,
    licence,
    lines,
    clays: clays.map(({ clay }) => clay),
    mixes: [mix],
    palettes: [],
  });

  function amount(): number {
    const first = byte();
    if (first !== 253) return first;
    const digits = two() / 1000;
    return Number((digits * 10 ** (byte() - 100)).toPrecision(4));
  }
}

/** At most so many bytes of UTF-8, cut between letters. */
function shortened(text: string, most: number): Uint8Array {
  const encoder = new TextEncoder();
  const letters = [...text];
  let written = encoder.encode(text);
  while (written.length > most) {
    letters.pop();
    written = encoder.encode(letters.join(''));
  }
  return written;
}

/** Source: CRC-16/CCITT-FALSE, polynomial 0x1021, start 0xffff; check value of "123456789" is 0x29b1 */
export function crc16(bytes: readonly number[]): number {
  let sum = 0xffff;
  for (const byte of bytes) {
    sum ^= byte << 8;
    for (let bit = 0; bit < 8; bit++) {
      sum = ((sum << 1) ^ (sum & 0x8000 ? 0x1021 : 0)) & 0xffff;
    }
  }
  return sum;
}

function unreadable(
  detail: string,
  hint = 'Nothing was taken. Photograph the code again, straight from above and in good light.',
  cause?: unknown,
): AppError {
  return new AppError({ code: 'card-unreadable', kind: 'bad-input', detail, hint, cause });
}
