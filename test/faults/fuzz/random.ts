import { seededChance } from '../../../src/core/numeric/seeded-chance.ts';

/** Chance that is the same for the same seed. */
export interface Chance {
  /** 0 up to but not 1. */
  next(): number;
  below(count: number): number;
  pick<T>(from: readonly T[]): T;
  /** True with this probability. */
  maybe(share: number): boolean;
}

export function chanceFrom(seed: number): Chance {
  const { uniform } = seededChance(seed);
  const below = (count: number) => Math.floor(uniform() * count);
  return {
    next: uniform,
    below,
    pick: (from) => from[below(from.length)],
    maybe: (share) => uniform() < share,
  };
}

/** Texts that broke other programs: short names of formulas, paths, markup, other scripts, broken letters. */
export const NASTY: readonly string[] = [
  '',
  ' ',
  '\u0000',
  '\ufeff',
  '\u202e',
  '\ud800',
  '\u200b',
  'e\u0301',
  '=1+1',
  '-1',
  '../../book.sqlite',
  '%2e%2e%2f',
  "'; drop table record; --",
  '<script>alert(1)</script>',
  '__proto__',
  'constructor',
  'NaN',
  'Infinity',
  '1e309',
  '-0',
  '9007199254740993',
  '0x10',
  '½ Kelp',
  '🦑'.repeat(40),
  'a'.repeat(5000),
  '{{7*7}}',
  '\r\n\r\n',
  'null',
];

/** Bytes with a few places changed, doubled, cut or swapped. */
export function damaged(bytes: Uint8Array, chance: Chance): Uint8Array {
  let out = Uint8Array.from(bytes);
  for (let i = chance.below(6); i >= 0; i--) {
    const at = chance.below(out.length + 1);
    const length = chance.below(chance.pick([2, 8, 64, 1024]));
    const before = out.subarray(0, at);
    const after = out.subarray(Math.min(out.length, at + length));
    const piece = out.subarray(at, at + length);
    switch (chance.below(6)) {
      case 0:
        out = joined(before, after);
        break;
      case 1:
        out = joined(before, piece, piece, after);
        break;
      case 2:
        out = joined(before, piece.toReversed(), after);
        break;
      case 3:
        out = joined(before, new TextEncoder().encode(chance.pick(NASTY)), out.subarray(at));
        break;
      case 4:
        if (out.length > 0) out[Math.min(at, out.length - 1)] ^= 1 << chance.below(8);
        break;
      default:
        out = joined(before, Uint8Array.of(chance.below(256)), out.subarray(at));
    }
  }
  return out.subarray(0, 200_000);
}

function joined(...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
