import type { z } from 'zod';
import type { ColourWanted } from '../core/buying/recipes-within.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { predictViewed } from '../core/find/predicted-mix.ts';
import { rulesOfCall, stockByClay } from '../core/find/rules-of-call.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { clayKey } from '../core/notation/notation.ts';
import { type ColourAsked, coloursAsked } from './aim.ts';
import { findQuestion } from './find-question.ts';
import { basis, wantedFields } from './question-parts.ts';

/** Colours calculated for one line, so that many lines are compared in seconds. */
export const MIXES_OF_LINE = 30_000;

/** Colours wanted, and the stock, as every question about the range of lines asks them. */
export const rangeFields = {
  ...wantedFields,
  tolerance: findQuestion.shape.tolerance.default(3.5),
  stock: findQuestion.shape.stock,
  basis,
};
interface RangeAsked {
  readonly aims: z.output<typeof rangeFields.aims>;
  readonly called?: readonly string[];
  readonly tolerance: number;
  readonly stock?: z.output<typeof rangeFields.stock>;
}

/** A flat clay with its line. */
export interface ClayOfLine {
  readonly clay: number;
  readonly name: string;
  readonly lab: Lab;
  /** Absent where the line is not known. */
  readonly line?: string;
  /** The user never buys it again, so it is no help. */
  readonly isNever: boolean;
}

/**
 * The flat clays of a question with their lines, and the colours wanted.
 * Refuses: an unknown line
 * Holds:   a colour that cannot be read is said in `refused`, and the others count
 */
export function* rangeSubject(
  clays: KnownClays,
  question: RangeAsked,
  lines?: readonly string[],
): WorkSteps<{
  readonly all: readonly ClayOfLine[];
  readonly own: readonly ClayOfLine[];
  readonly wanted: readonly (ColourWanted & ColourAsked)[];
  readonly refused: readonly string[];
}> {
  const { stock = [], tolerance } = question;
  return yield* once('looking at the clays', () => {
    const frame = { stock, basis: clays.basis, mostClays: 3, parts: 24 };
    const rows = stockByClay(clays, stock);
    const { allowed: all } = rulesOfCall(clays, {}, frame);
    const own = lines === undefined ? all : rulesOfCall(clays, { lines }, frame).allowed;
    const withLine = (clay: number): ClayOfLine => {
      const { line, buying } = rows.get(clay) ?? {};
      return {
        clay,
        name: clays.names[clay] ?? '',
        lab: predictViewed(clays.predictor, [{ clay, share: 1 }], HOUSE_VIEWING).lab,
        isNever: buying?.choice === 'never',
        ...(line === undefined ? {} : { line }),
      };
    };
    const { colours, refused } = coloursAsked(question, clays);
    const wanted = colours.map((colour) => ({ ...colour, tolerance }));
    return { all: all.map(withLine), own: own.map(withLine), wanted, refused };
  });
}

/** Clays by line, in the order of their first clay; a clay of no known line is left out. */
export function byLine(
  clays: readonly ClayOfLine[],
): readonly { readonly line: string; readonly clays: readonly ClayOfLine[] }[] {
  const lines = new Map<string, { line: string; clays: ClayOfLine[] }>();
  for (const clay of clays) {
    if (clay.line === undefined) continue;
    const key = clayKey(clay.line);
    const group = lines.get(key) ?? { line: clay.line, clays: [] };
    group.clays.push(clay);
    lines.set(key, group);
  }
  return [...lines.values()];
}
