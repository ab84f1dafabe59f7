import { z } from 'zod';
import { joined, rangeOf, volumeOf } from '../core/colour/colour-range.ts';
import { HUE_WORDS } from '../core/colour/hue-words.ts';
import type { KnownClays } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { bestAdditions, broughtBy } from '../core/range/additions.ts';
import { huesOfLine, meanChroma } from '../core/range/hues-of-line.ts';
import { coloursOfMixes, coloursWith } from '../core/range/mixed-colours.ts';
import { labAnswer } from './answer-parts.ts';
import { byLine, MIXES_OF_LINE, rangeFields, rangeSubject } from './lines-compared.ts';
import { verb } from './verb.ts';

/** Blocks of another line that are named for a gap. */
const BLOCKS_NAMED = 3;

export const compareLinesQuestion = z.strictObject(rangeFields);
export type CompareLinesQuestion = z.output<typeof compareLinesQuestion>;

const hueAnswer = z.object({
  hue: z.enum(HUE_WORDS),
  /** Blocks of this hue; greys have none. */
  clays: z.int(),
  /** C*ab of these blocks; absent where there is none. */
  meanChroma: z.number().exactOptional(),
  /** The strongest mix of two or three clays; absent where no mix has this hue. */
  strongest: z.object({ lab: labAnswer, chroma: z.number() }).exactOptional(),
  /** Size of the range in this hue, cubes of CIELAB units. */
  volume: z.number(),
});

const lineAnswer = z.object({
  line: z.string(),
  clays: z.int(),
  meanChroma: z.number(),
  volume: z.number(),
  /** Share of the range of all clays mixed with each other, 0-1. */
  share: z.number(),
  hues: z.array(hueAnswer),
  /** Colours wanted that its mixes give. */
  gives: z.array(z.string()),
});
export type LineCompared = z.output<typeof lineAnswer>;

const fillAnswer = z.object({
  line: z.string(),
  /** The other lines, the one that brings most first. */
  by: z.array(
    z.object({
      line: z.string(),
      /** Share of the range of all that the line makes together with this one, 0-1. */
      to: z.number(),
      /** Colours wanted that the line alone does not give. */
      gives: z.array(z.string()),
      /** The blocks that bring most of that, the best first, none that is never bought again, each with the share together with those before it. */
      blocks: z.array(z.object({ clay: z.string(), to: z.number(), shown: labAnswer })),
    }),
  ),
});
export type GapFilled = z.output<typeof fillAnswer>;

const compareLinesAnswer = z.object({
  lines: z.array(lineAnswer),
  fills: z.array(fillAnswer),
  notes: z.array(z.string()),
});
export type CompareLinesAnswer = z.output<typeof compareLinesAnswer>;

/**
 * Lines compared hue by hue, and which line fills the gaps of which.
 * Refuses: as `find` does for names and colours
 * Returns: no line where none is known; a line that is the only one fills no gap
 */
export const compareLines = verb({
  name: 'compare-lines',
  asks: 'How do my lines compare, hue by hue?',
  question: compareLinesQuestion,
  answer: compareLinesAnswer,
  *run(
    clays: KnownClays,
    question: CompareLinesQuestion,
    hear: (soFar: CompareLinesAnswer) => void = () => {},
  ): WorkSteps<CompareLinesAnswer> {
    const { predictor } = clays;
    const { all, wanted, refused } = yield* rangeSubject(clays, question);
    const called = (places: Iterable<number>) => [...places].map((at) => wanted[at]?.called ?? '');
    const groups: (ReturnType<typeof byLine>[number] & {
      readonly brings: ReturnType<typeof broughtBy>;
      readonly volume: number;
      readonly compared: Omit<LineCompared, 'share'>;
    })[] = [];
    for (const group of byLine(all)) {
      groups.push(
        yield* once(`mixing the clays of ${group.line}`, () => {
          const labs = group.clays.map(({ lab }) => lab);
          const points = coloursOfMixes(predictor, placesOf(group.clays), MIXES_OF_LINE);
          const brings = broughtBy(points, wanted);
          const volume = volumeOf(brings.range);
          const compared = {
            line: group.line,
            clays: labs.length,
            meanChroma: meanChroma(labs),
            volume,
            hues: [...huesOfLine(labs, points, brings.range)],
            gives: called(brings.gives),
          };
          return { ...group, brings, volume, compared };
        }),
      );
    }
    const whole = yield* once('mixing all clays', () => {
      const points = coloursOfMixes(predictor, placesOf(all), MIXES_OF_LINE);
      return volumeOf(groups.map(({ brings }) => brings.range).reduce(joined, rangeOf(points)));
    });
    const shareOf = (volume: number) => (whole === 0 ? 0 : Math.min(1, volume / whole));
    const lines = groups.map(({ compared, volume }) => ({
      ...compared,
      share: shareOf(volume),
    }));
    const notes = [...refused];
    hear({ lines, fills: [], notes });
    const fills: GapFilled[] = [];
    for (const group of groups) {
      const by: GapFilled['by'] = [];
      const own = placesOf(group.clays);
      for (const other of groups) {
        if (other === group) continue;
        const blocks: (ReturnType<typeof broughtBy> & { readonly of: (typeof all)[number] })[] = [];
        for (const one of other.clays) {
          blocks.push(
            yield* once(`adding ${other.line} to ${group.line}`, () => ({
              of: one,
              ...broughtBy(coloursWith(predictor, one.clay, own), wanted),
            })),
          );
        }
        by.push(
          yield* once(`adding ${other.line} to ${group.line}`, () => {
            const both = blocks.reduce(
              (range, block) => joined(range, block.range),
              joined(group.brings.range, other.brings.range),
            );
            const gives = new Set([...blocks, other.brings].flatMap((block) => [...block.gives]));
            let { volume } = group;
            return {
              line: other.line,
              to: shareOf(volumeOf(both)),
              gives: called([...gives].filter((at) => !group.brings.gives.has(at))),
              blocks: bestAdditions(
                group.brings,
                blocks.filter(({ of }) => !of.isNever),
                BLOCKS_NAMED,
              ).map(({ of, gain }) => {
                volume += gain;
                return { clay: of.name, to: shareOf(volume), shown: of.lab };
              }),
            };
          }),
        );
      }
      by.sort((one, other) => other.gives.length - one.gives.length || other.to - one.to);
      fills.push({ line: group.line, by });
      hear({ lines, fills: [...fills], notes });
    }
    return { lines, fills, notes };
  },
});

function placesOf(clays: readonly { readonly clay: number }[]): readonly number[] {
  return clays.map(({ clay }) => clay);
}
