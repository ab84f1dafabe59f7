import { z } from 'zod';
import { volumeOf } from '../core/colour/colour-range.ts';
import { closestOf } from '../core/colour/edge.ts';
import type { Lab } from '../core/colour/triples.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { inARow } from '../core/in-a-row.ts';
import { type Brings, bestAdditions, broughtBy } from '../core/range/additions.ts';
import { coloursOutside, imaginedBeside } from '../core/range/missing-colours.ts';
import { coloursOfMixes, coloursWith } from '../core/range/mixed-colours.ts';
import { sideInWords, sidesOf } from '../core/verdict/verdict.ts';
import { labAnswer } from './answer-parts.ts';
import { findRules } from './find-question.ts';
import { MIXES_OF_LINE, rangeFields, rangeSubject } from './lines-compared.ts';
import { verb, words } from './verb.ts';

const MOST_NAMED = 8;
const USUAL_NAMED = 3;

export const widenQuestion = z.strictObject({
  lines: findRules.shape.lines,
  ...rangeFields,
  top: z
    .int()
    .min(1)
    .max(MOST_NAMED)
    .default(USUAL_NAMED)
    .meta(words({ option: 'top', value: 'N', help: 'how many colours to name' })),
});
export type WidenQuestion = z.output<typeof widenQuestion>;

const brought = {
  /** D50, 2 degrees. */
  lab: labAnswer,
  /** How much the range grows after those named before, as a share of what is there. */
  widens: z.number(),
  /** Colours wanted that come close enough with it. */
  gives: z.array(z.string()),
  why: z.string(),
};

const missingAnswer = z.object({ name: z.string(), ...brought });
export type MissingColour = z.output<typeof missingAnswer>;

const knownAnswer = z.object({ clay: z.string(), line: z.string().exactOptional(), ...brought });
export type KnownAddition = z.output<typeof knownAnswer>;

const widenAnswer = z.object({
  /** Flat clays whose range is widened. */
  clays: z.int(),
  /** Size of their range, cubes of CIELAB units. */
  volume: z.number(),
  /** Colours wanted that their mixes do not give. */
  unmet: z.array(z.string()),
  /** Colours that no clay here has, the one that brings most first. */
  missing: z.array(missingAnswer),
  /** Known blocks of other lines that bring most, the best first; none that is never bought again. */
  known: z.array(knownAnswer),
  notes: z.array(z.string()),
});
export type WidenAnswer = z.output<typeof widenAnswer>;

/**
 * Which few colours would widen some clays most: as colours nobody here has, and as known blocks of other lines.
 * Refuses: as `find` does for lines, names and colours
 * Holds:   with wanted colours, those come before range; no colour is stronger than a measured paint of its hue
 *          and lightness
 */
export const widen = verb({
  name: 'widen',
  asks: 'Which colours would widen my clays most?',
  question: widenQuestion,
  answer: widenAnswer,
  *run(
    clays: KnownClays,
    question: WidenQuestion,
    hear: (soFar: WidenAnswer) => void = () => {},
  ): WorkSteps<WidenAnswer> {
    const { predictor } = clays;
    const { lines, top } = question;
    const { all, own, wanted, refused } = yield* rangeSubject(clays, question, lines);
    const places = own.map(({ clay }) => clay);
    const { points, start } = yield* once('mixing the clays', () => {
      const points = coloursOfMixes(predictor, places, MIXES_OF_LINE);
      return { points, start: broughtBy(points, wanted) };
    });
    const volume = volumeOf(start.range);
    const called = (at: number) => wanted[at]?.called ?? '';
    const unmet = wanted.flatMap((_, at) => (start.gives.has(at) ? [] : [at]));
    const base = {
      clays: own.length,
      volume,
      unmet: unmet.map(called),
      notes: [...refused],
    };
    const inAnswer = (lab: Lab, gain: number, gives: readonly number[]) => ({
      lab,
      widens: volume === 0 ? 0 : gain / volume,
      gives: gives.map(called),
      why: whyMissing(lab, points),
    });

    const blocks: (Brings & { readonly of: (typeof all)[number] })[] = [];
    for (const one of all) {
      if (places.includes(one.clay) || one.isNever) continue;
      blocks.push(
        yield* once(`trying ${one.name}`, () => ({
          of: one,
          ...broughtBy(coloursWith(predictor, one.clay, places), wanted),
        })),
      );
    }
    const known = bestAdditions(start, blocks, top).map(
      ({ of, gain, gives }): KnownAddition => ({
        clay: of.name,
        ...(of.line === undefined ? {} : { line: of.line }),
        ...inAnswer(of.lab, gain, gives),
      }),
    );
    hear({ ...base, missing: [], known });

    const possible = yield* once('looking for gaps', () =>
      coloursOutside(
        points,
        unmet.flatMap((at) => wanted.slice(at, at + 1).map(({ lab }) => lab)),
      ),
    );
    const addedBy = yield* once('looking for gaps', () => imaginedBeside(predictor, places));
    const imagined: (Brings & { readonly of: (typeof possible)[number] })[] = [];
    for (const one of possible) {
      const brings = yield* once('trying colours nobody has', () => {
        const added = addedBy(one.lab);
        return added === undefined ? undefined : { of: one, ...broughtBy(added, wanted) };
      });
      if (brings !== undefined) imagined.push(brings);
    }
    const missing = bestAdditions(start, imagined, top).map(
      ({ of, gain, gives }): MissingColour => ({ name: of.name, ...inAnswer(of.lab, gain, gives) }),
    );
    return { ...base, missing, known };
  },
});

/** How the closest mix differs: "The closest mix is far duller and slightly darker." */
function whyMissing(lab: Lab, mixes: readonly Lab[]): string {
  const closest = closestOf(mixes, lab);
  if (closest === undefined) return 'There are no clays to mix it from.';
  const said = sidesOf(lab, closest.lab)
    .filter(({ size }) => size >= LEAST_SAID)
    .slice(0, 2)
    .map(sideInWords);
  return said.length === 0 ? 'A mix comes close already.' : `The closest mix is ${inARow(said)}.`;
}

/** A smaller difference is hardly seen beside the larger ones, dE00. */
const LEAST_SAID = 1.8;
