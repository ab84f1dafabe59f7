/** A code split into the part that counts and the text around it. */
interface Counted {
  readonly before: string;
  readonly counter: string;
  readonly after: string;
}

/** How many of the last codes are looked at, and how many series are continued. */
const LOOK_BACK = 200;
const SERIES = 4;
/** Longest code made of stamps alone, without a pattern to follow. */
const LONGEST = 12;

/**
 * The series in the user's codes, the last used first, each with endless next codes.
 * Shape:   codes of the book, the oldest first; the next codes may be used already
 * Holds:   without any code there is one series, counting from 1
 */
export function continuedSeries(codes: readonly string[]): readonly Iterator<string, string>[] {
  const series: Iterator<string, string>[] = [];
  const known = new Set<string>();
  for (let i = codes.length - 1; i >= Math.max(0, codes.length - LOOK_BACK); i--) {
    const counted = counterOf(codes, i);
    const stem = stemOf(counted);
    if (known.has(stem)) continue;
    known.add(stem);
    series.push(countFrom(counted, stepOf(codes, i, stem)));
    if (known.size === SERIES) break;
  }
  return series.length > 0 ? series : [countFrom({ before: '', counter: '0', after: '' }, 1n)];
}

/**
 * Every code that stamps can make, short ones first; of codes that look alike only one.
 * Shape:   how many of each character there are, and the key that characters which look alike share
 */
export function* codesOfStamps(
  stamps: ReadonlyMap<string, number>,
  alike: (character: string) => string,
): Iterable<string> {
  const classes = new Map<string, { character: string; left: number }[]>();
  let total = 0;
  for (const [key, count] of stamps) {
    const left = Math.max(0, Math.floor(count));
    total += left;
    const list = classes.get(alike(key));
    const stamp = { character: key.toUpperCase().length === 1 ? key.toUpperCase() : key, left };
    if (list === undefined) classes.set(alike(key), [stamp]);
    else list.push(stamp);
  }
  function* codesOfLength(length: number): Iterable<string> {
    if (length === 0) {
      yield '';
      return;
    }
    for (const list of classes.values()) {
      const stamp = list.find(({ left }) => left > 0);
      if (stamp === undefined) continue;
      stamp.left--;
      for (const rest of codesOfLength(length - 1)) yield stamp.character + rest;
      stamp.left++;
    }
  }
  for (let length = 1; length <= Math.min(LONGEST, total); length++) yield* codesOfLength(length);
}

const RUNS = /\d+|\p{L}+|[^\d\p{L}]+/gu;
const NUMBER = /^\d+$/;
/** Letters that count: one or two, as in a ... z, aa, ab. Longer ones are words. */
const LETTERS = /^(?:[a-z]{1,2}|[A-Z]{1,2})$/;

/** What counts in a code: the part that went up since the last code of the same shape, or the number. */
function counterOf(codes: readonly string[], at: number): Counted {
  const runs = runsOf(codes[at]);
  const shape = shapeOf(runs);
  for (let i = at - 1; i >= Math.max(0, at - LOOK_BACK); i--) {
    const earlier = runsOf(codes[i]);
    if (shapeOf(earlier) !== shape) continue;
    const differing = runs.flatMap((run, r) => (folded(run) === folded(earlier[r]) ? [] : [r]));
    const [r] = differing;
    if (differing.length === 1 && wentUp(earlier[r], runs[r])) return cut(runs, r);
    break;
  }
  const number = runs.findLastIndex((run) => NUMBER.test(run));
  if (number >= 0) return cut(runs, number);
  const last = runs.length - 1;
  if (last >= 0 && LETTERS.test(runs[last])) return cut(runs, last);
  return { before: `${codes[at].trimEnd()} `, counter: '1', after: '' };
}

function runsOf(code: string): readonly string[] {
  return code.match(RUNS) ?? [];
}

/** Numbers and letters as one character each, everything else unchanged. */
function shapeOf(runs: readonly string[]): string {
  return runs.map((run) => (NUMBER.test(run) ? '9' : /^\p{L}/u.test(run) ? 'a' : run)).join('');
}

function folded(run: string): string {
  return run.toLowerCase();
}

function wentUp(from: string, to: string): boolean {
  if (NUMBER.test(from) && NUMBER.test(to)) return BigInt(to) > BigInt(from);
  return LETTERS.test(from) && LETTERS.test(to) && placeOf(to) - placeOf(from) === 1n;
}

function cut(runs: readonly string[], at: number): Counted {
  return {
    before: runs.slice(0, at).join(''),
    counter: runs[at],
    after: runs.slice(at + 1).join(''),
  };
}

function stemOf({ before, counter, after }: Counted): string {
  return JSON.stringify([folded(before), NUMBER.test(counter), folded(after)]);
}

/** The step between the last three codes of the series where both steps are the same, else 1. */
function stepOf(codes: readonly string[], at: number, stem: string): bigint {
  const values: bigint[] = [];
  for (let i = at; i >= Math.max(0, at - LOOK_BACK) && values.length < 3; i--) {
    const counted = counterOf(codes, i);
    if (stemOf(counted) === stem) values.push(placeOf(counted.counter));
  }
  const [last, middle, first] = values;
  return first !== undefined && last - middle === middle - first && last > middle
    ? last - middle
    : 1n;
}

function* countFrom({ before, counter, after }: Counted, step: bigint): Generator<string, string> {
  const number = NUMBER.test(counter);
  const width = number && counter.startsWith('0') ? counter.length : 0;
  for (let value = placeOf(counter) + step; ; value += step) {
    const next = number ? String(value).padStart(width, '0') : lettersOf(value);
    const upper = !number && counter === counter.toUpperCase();
    yield before + (upper ? next.toUpperCase() : next) + after;
  }
}

/** Letters count like the columns of a spreadsheet: a is 1, z is 26, aa is 27. */
function placeOf(counter: string): bigint {
  if (NUMBER.test(counter)) return BigInt(counter);
  return [...folded(counter)].reduce((sum, c) => sum * 26n + BigInt(c.charCodeAt(0) - 96), 0n);
}

function lettersOf(value: bigint): string {
  let letters = '';
  for (let rest = value; rest > 0n; rest = (rest - 1n) / 26n) {
    letters = String.fromCharCode(97 + Number((rest - 1n) % 26n)) + letters;
  }
  return letters;
}
