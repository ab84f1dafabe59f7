import { clayKey } from './clay-name.ts';
import { codesOfStamps, continuedSeries } from './code-pattern.ts';

/** One character the user can press into clay, and how many of it can be set together. */
export interface Stamp {
  readonly character: string;
  /** Absent where one stamp can be pressed any number of times. */
  readonly count?: number;
}

export interface CodeSuggestions {
  /** The most likely first. None is the same as, or looks like, a code of the book or another suggestion. */
  readonly codes: readonly string[];
  /** Why there are fewer than asked for; empty where there are enough. */
  readonly says: string;
}

/** Characters that look alike once pressed into clay and baked (common practice, no source). */
const LOOKALIKES: Readonly<Record<string, string>> = {
  o: '0',
  q: '0',
  i: '1',
  l: '1',
  s: '5',
  z: '2',
};

/**
 * What makes two codes the same: letters by NFKC without case, as names are compared, and no white
 * space. Every other mark counts: K-7 and K7 are two codes. A code is the user's own free text.
 * Holds: codeKey(codeKey(x)) = codeKey(x)
 */
export function codeKey(code: string): string {
  return clayKey(code.normalize('NFKC')).replace(/\s+/gu, '');
}

/**
 * The same key for two codes that look alike: KO and K0, I7 and 17. They are still two codes; the user is
 * warned, and no suggestion looks like another code.
 */
export function lookalikeKey(code: string): string {
  return lookOf(codeKey(code));
}

function lookOf(key: string): string {
  return key.replace(/[oqilsz]/g, (c) => LOOKALIKES[c]);
}

/** The codes of a book; tells whether a code is free. */
export interface CodeIndex {
  /** The same code as spelt in the book. */
  same(code: string): string | undefined;
  /** Another code that looks alike. */
  alike(code: string): string | undefined;
}

/** Where two codes are the same or look alike, the first one counts. */
export function codeIndex(codes: Iterable<string>): CodeIndex {
  const same = new Map<string, string>();
  const alike = new Map<string, string>();
  for (const code of codes) {
    const key = codeKey(code);
    const look = lookOf(key);
    if (!same.has(key)) same.set(key, code);
    if (!alike.has(look)) alike.set(look, code);
  }
  return {
    same: (code) => same.get(codeKey(code)),
    alike(code) {
      const key = codeKey(code);
      return same.has(key) ? undefined : alike.get(lookOf(key));
    },
  };
}

/**
 * The characters of a code that the stamps cannot make, each as often as it is missing. Case does not
 * count, white space needs no stamp.
 * Refuses: nothing; with no stamps every character is missing
 */
export function missingStamps(code: string, stamps: readonly Stamp[]): readonly string[] {
  return missingOf(code, stampCounts(stamps));
}

function missingOf(code: string, counts: ReadonlyMap<string, number>): readonly string[] {
  const left = new Map(counts);
  return [...codeKey(code)].filter((character) => {
    const count = left.get(character) ?? 0;
    left.set(character, count - 1);
    return count <= 0;
  });
}

/** Stamps by `codeKey` of their character; several of one are added up. */
function stampCounts(stamps: readonly Stamp[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { character, count = Number.POSITIVE_INFINITY } of stamps) {
    const key = codeKey(character);
    if ([...key].length === 1) counts.set(key, (counts.get(key) ?? 0) + count);
  }
  return counts;
}

/**
 * Free codes that continue the user's own: whatever counted up between the last codes counts on, a number
 * (K7, K8), a padded one (007), tens or letters (a, b ... z, aa).
 * Shape:   codes of the book, the oldest first; the user's stamps, if codes must be made of them
 * Holds:   a suggestion shares no `lookalikeKey` with a code or another suggestion, and `missingStamps`
 *          of a suggestion is empty. The user's codes set the pattern; letters do not stand for colours
 */
export function suggestCodes(
  codes: readonly string[],
  options: { readonly stamps?: readonly Stamp[]; readonly count?: number } = {},
): CodeSuggestions {
  const { stamps, count = 3 } = options;
  const used = new Set(codes.map(lookalikeKey));
  const found: string[] = [];
  const counts = stamps === undefined ? undefined : stampCounts(stamps);
  const fits = (code: string) =>
    !used.has(lookalikeKey(code)) && (counts === undefined || missingOf(code, counts).length === 0);
  const add = (code: string) => {
    used.add(lookalikeKey(code));
    found.push(code);
  };
  // A number meets each used code at most once; up to four letters look alike. Stamps may rule out a
  // whole series, so the search through one is limited then.
  const mostTries = Math.min(4 * codes.length + 1000, counts === undefined ? Infinity : 20_000);
  let open = continuedSeries(codes);
  while (found.length < count && open.length > 0) {
    open = open.filter((series) => {
      if (found.length >= count) return true;
      for (let tries = 0; tries < mostTries; tries++) {
        const code = series.next().value;
        if (!fits(code)) continue;
        add(code);
        return true;
      }
      return false;
    });
  }
  if (counts !== undefined && found.length < count) {
    for (const code of codesOfStamps(counts, lookalikeKey)) {
      if (fits(code)) add(code);
      if (found.length >= count) break;
    }
  }
  const says = found.length >= count ? '' : saysFewer(found.length);
  return { codes: found, says };
}

function saysFewer(found: number): string {
  const hint = 'Add a stamp, or use a code that you scratch in by hand.';
  return found === 0
    ? `Every code that these stamps can make is used. ${hint}`
    : `These stamps cannot make more free codes. ${hint}`;
}
