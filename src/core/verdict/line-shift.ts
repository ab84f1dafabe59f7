import { deltaE2000 } from '../colour/difference.ts';
import { labFromLch, lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { type VerdictWord, verdictWord } from './verdict.ts';

/** One tile of a line, read raw and read baked. */
export interface RawBakedPair {
  readonly raw: Lab;
  readonly baked: Lab;
  /** Standard deviation of each of the two readings, CIELAB an axis. */
  readonly spread: number;
}

/** What baking does to a whole line on one axis. */
interface LineSide {
  readonly axis: 'lightness' | 'chroma';
  /** Mean over the tiles, dE00; lighter and brighter are positive. */
  readonly mean: number;
  /** Standard error of the mean. */
  readonly plusMinus: number;
  /** Standard deviation from one tile to another; 0 for a single tile. */
  readonly differs: number;
  /** Whether the shift is more than twice its ±. */
  readonly seen: boolean;
}

export interface LineShift {
  readonly tiles: number;
  readonly sides: readonly LineSide[];
  /**
   * Continues a sentence that starts with the name of a line: "darkens a little and dulls slightly".
   */
  readonly words: string;
  readonly how: string;
}

/** As in `bakeShift`: noise alone passes twice its ± about once in 22 times. */
const SEEN = 2;
/** Sizes on the scale of the verdicts, as in `sideInWords`. */
const MUCH: Readonly<Record<VerdictWord, string>> = {
  same: 'barely',
  match: 'slightly',
  close: 'a little',
  family: 'clearly',
  different: 'a great deal',
};
const VERBS = {
  lightness: ['lightens', 'darkens'],
  chroma: ['brightens', 'dulls'],
} as const;

/**
 * How baking changes the clays of one line, from tiles read before and after.
 * Shape:   one tile or more, under one light -> mean shift of lightness and chroma, with words
 * Units:   CIELAB in, dE00 out, each side alone
 * Refuses: no tile, a number that is not finite, a negative spread -> invalid-input
 * Holds:   the ± is never below that of the readings themselves, so that a few lucky tiles look no
 *          more certain; hue is left out, because its direction differs from colour to colour
 * Source:  mean and its standard error, any text on statistics
 */
export function lineShift(tiles: readonly RawBakedPair[]): LineShift {
  if (tiles.length === 0)
    throw invalidInput('A line needs a tile read raw and baked to show a shift.');
  for (const { raw, baked, spread } of tiles) {
    if (![...raw, ...baked, spread].every(Number.isFinite) || spread < 0) {
      throw invalidInput('A reading of a tile contains a value that is not a number.');
    }
  }
  const sides = (['lightness', 'chroma'] as const).map((axis) => sideOf(axis, tiles));
  const seen = sides.filter((side) => side.seen);
  return {
    tiles: tiles.length,
    sides,
    words:
      seen.length === 0
        ? 'hardly changes in the oven'
        : seen
            .map(
              ({ axis, mean }) =>
                `${VERBS[axis][mean > 0 ? 0 : 1]} ${MUCH[verdictWord(Math.abs(mean))]}`,
            )
            .join(' and '),
    how: evidenceInWords(tiles.length, seen),
  };
}

function sideOf(axis: LineSide['axis'], tiles: readonly RawBakedPair[]): LineSide {
  const steps = tiles.map(({ raw, baked }) => stepOf(axis, raw, baked));
  const n = steps.length;
  const mean = steps.reduce((sum, v) => sum + v, 0) / n;
  const differs =
    n < 2 ? 0 : Math.sqrt(steps.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1));
  const noise = Math.sqrt(tiles.reduce((sum, { spread }) => sum + 2 * spread ** 2, 0) / n);
  const plusMinus = Math.max(differs, noise) / Math.sqrt(n);
  return { axis, mean, plusMinus, differs, seen: Math.abs(mean) > SEEN * plusMinus };
}

function stepOf(axis: LineSide['axis'], raw: Lab, baked: Lab): number {
  if (axis === 'lightness') {
    const way = Math.sign(baked[0] - raw[0]);
    return way * deltaE2000(raw, [baked[0], raw[1], raw[2]]);
  }
  const [l, chroma, hue] = lchFromLab(raw);
  const [, after] = lchFromLab(baked);
  return Math.sign(after - chroma) * deltaE2000(raw, labFromLch([l, after, hue]));
}

function evidenceInWords(tiles: number, seen: readonly LineSide[]): string {
  if (tiles === 1) return 'from one tile only';
  const differs = Math.max(0, ...seen.map((side) => side.differs));
  const how = `from ${tiles} tiles`;
  if (seen.length === 0) return how;
  return differs < 0.8
    ? `${how}, nearly alike`
    : `${how}, each by its own ${differs < 1.8 ? 'touch' : 'measure'} more or less`;
}
