import { clayKey } from './clay-name.ts';
import { codesOfStamps, continuedSeries } from './code-pattern.ts';

/** One character she can press into clay, and how many of it she has if they are set together. */
export interface Stamp {
  readonly character: string;
  /** Absent where one stamp is pressed as often as wanted. */
  readonly count?: number;
}

export interface CodeSuggestions {
  /** The likeliest first. None is the same as, or looks like, a code of the book or each other. */
  readonly codes: readonly string[];
  /** Why there are fewer than asked; empty where there are as many. */
  readonly says: string;
}

/** Characters that are told apart badly once pressed into clay and baked (common practice, no source). */
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
 * What two codes share that are easily taken for one another: KO and K0, I7 and 17. They are two codes
 * all the same; the person is told, and no suggestion looks like another code.
 */
export function lookalikeKey(code: string): string {
  return lookOf(codeKey(code));
}

function lookOf(key: string): string {
  return key.replace(/[oqilsz]/g, (c) => LOOKALIKES[c]);
}

/** The codes of a book, to be asked whether a code is free. */
export interface CodeIndex {
  /** The code of the book that is the same, as it is spelt there. */
  same(code: string): string | undefined;
  /** One that is another but looks alike. */
  alike(code: string): string | undefined;
}

/** Where two codes are the same, or look alike, the first of them counts. */
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
 * What a code wants that she has no stamp for, each character as often as it lacks. Case does not
 * count, white space needs no stamp.
 * Refuses: nothing; no stamps at all lack every character
 */
export function missingStamps(code: string, stamps: readonly Stamp[]): readonly string[] {
  return lackingOf(code, stampCounts(stamps));
}

function lackingOf(code: string, counts: ReadonlyMap<string, number>): readonly string[] {
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
 * Free codes that go on as her own did: what counted up between her last codes counts on, be it a
 * number (K7, K8), a padded one (007), tens or letters (a, b ... z, aa).
 * Shape:   codes of the book, the oldest first; stamps she owns, if she wants to be held to them
 * Holds:   a suggestion has no `lookalikeKey` of a code or of another suggestion, and
 *          `missingStamps` of it is empty. Her own codes set the pattern; no letter stands for a colour
 */
export function suggestCodes(
  codes: readonly string[],
  options: { readonly stamps?: readonly Stamp[]; readonly count?: number } = {},
): CodeSuggestions {
  const { stamps, count = 3 } = options;
  const taken = new Set(codes.map(lookalikeKey));
  const found: string[] = [];
  const counts = stamps === undefined ? undefined : stampCounts(stamps);
  const fits = (code: string) =>
    !taken.has(lookalikeKey(code)) &&
    (counts === undefined || lackingOf(code, counts).length === 0);
  const keep = (code: string) => {
    taken.add(lookalikeKey(code));
    found.push(code);
  };
  // A number meets each taken code at most once; of letters up to four look alike. Stamps may rule out
  // a whole series, so then the search through it is cut short.
  const patience = Math.min(4 * codes.length + 1000, counts === undefined ? Infinity : 20_000);
  let open = continuedSeries(codes);
  while (found.length < count && open.length > 0) {
    open = open.filter((series) => {
      if (found.length >= count) return true;
      for (let tries = 0; tries < patience; tries++) {
        const code = series.next().value;
        if (!fits(code)) continue;
        keep(code);
        return true;
      }
      return false;
    });
  }
  if (counts !== undefined && found.length < count) {
    for (const code of codesOfStamps(counts, lookalikeKey)) {
      if (fits(code)) keep(code);
      if (found.length >= count) break;
    }
  }
  const says = found.length >= count ? '' : saysFewer(found.length);
  return { codes: found, says };
}

function saysFewer(found: number): string {
  const hint = 'Add a stamp, or let a code stand that is scratched by hand.';
  return found === 0
    ? `Every code these stamps can make is taken. ${hint}`
    : `These stamps can make no more free codes. ${hint}`;
}
