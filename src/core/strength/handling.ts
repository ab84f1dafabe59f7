import { inARow } from '../in-a-row.ts';
/** How a mix felt, and what was done about it; shares of its lines add up to 1. */
export interface HandlingNote {
  readonly shares: readonly { readonly line: string; readonly share: number }[];
  readonly feels: readonly string[];
  readonly done: readonly { readonly what: string; readonly helped?: boolean }[];
}

/** Feels that make thin parts hard to shape. */
export const HARD_TO_SHAPE = ['soft', 'sticky', 'crumbly'] as const;
type HardToShape = (typeof HARD_TO_SHAPE)[number];

/** Two lines are near equal from here on, each of the whole: common practice, no source. */
const NEAR_EQUAL = 0.35;

export interface PairHandling {
  readonly lines: readonly [string, string];
  readonly notes: number;
  /** Notes that name the feel. */
  readonly felt: Readonly<Record<HardToShape, number>>;
  /** What was done, and how often it helped, of the notes that say whether it did. */
  readonly helped: readonly {
    readonly what: string;
    readonly helped: number;
    readonly tried: number;
  }[];
}

/**
 * How mixes of two lines in near equal shares handled, by pairs of lines, the stickiest first.
 * Shape:   notes -> a row for each pair with a note; lines of a pair in the order of the alphabet
 * Limits:  counts what was noted; nothing is carried over to other pairs or shares
 */
export function handlingOfPairs(notes: readonly HandlingNote[]): readonly PairHandling[] {
  const pairs = new Map<string, { lines: [string, string]; notes: HandlingNote[] }>();
  for (const note of notes) {
    const large = note.shares.filter(({ share }) => share >= NEAR_EQUAL).map(({ line }) => line);
    const [first, second] = large.sort();
    if (first === undefined || second === undefined) continue;
    const key = JSON.stringify([first, second]);
    const pair = pairs.get(key) ?? { lines: [first, second], notes: [] };
    pair.notes.push(note);
    pairs.set(key, pair);
  }
  return [...pairs.values()]
    .map(({ lines, notes: own }) => ({
      lines,
      notes: own.length,
      felt: {
        soft: own.filter(({ feels }) => feels.includes('soft')).length,
        sticky: own.filter(({ feels }) => feels.includes('sticky')).length,
        crumbly: own.filter(({ feels }) => feels.includes('crumbly')).length,
      },
      helped: helpedOf(own),
    }))
    .sort((a, b) => b.felt.sticky / b.notes - a.felt.sticky / a.notes || b.notes - a.notes);
}

function helpedOf(notes: readonly HandlingNote[]): PairHandling['helped'] {
  const counts = new Map<string, { what: string; helped: number; tried: number }>();
  for (const { what, helped } of notes.flatMap(({ done }) => done)) {
    if (helped === undefined) continue;
    const count = counts.get(what) ?? { what, helped: 0, tried: 0 };
    counts.set(what, count);
    count.tried++;
    if (helped) count.helped++;
  }
  return [...counts.values()].sort((a, b) => b.helped / b.tried - a.helped / a.tried);
}

/** "Saltmarsh and Brindle near equal shares: sticky in 2 of 3 notes. Rested helped in 1 of 2." */
export function handlingInWords({ lines, notes, felt, helped }: PairHandling): string {
  const said = HARD_TO_SHAPE.filter((one) => felt[one] > 0).map(
    (one) => `${one} in ${felt[one]} of ${notes === 1 ? '1 note' : `${notes} notes`}`,
  );
  const how = said.length === 0 ? 'no trouble noted' : said.join(', ');
  const what = helped.map(
    (one) =>
      `${one.what}: helped ${one.helped} of ${one.tried === 1 ? '1 time' : `${one.tried} times`}`,
  );
  return [`${inARow(lines)} in near equal shares: ${how}.`, ...what.map((one) => `${one}.`)]
    .join(' ')
    .replace(/\. ([a-z])/g, (_, letter: string) => `. ${letter.toUpperCase()}`);
}
