import { z } from 'zod';
import { AppError } from '../core/errors.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { type BakeRisk, type PacketHeat, planBake } from '../core/oven/bake-plan.ts';
import { AIRS, BULK_RANGE, type Bulk, STANDS_ON } from '../core/oven/clay-heat.ts';
import { type OvenCheck, ovenHabits } from '../core/oven/oven-check.ts';
import { cautionsFor } from '../domain/cautions.ts';
import { range, tempC } from '../domain/records/pieces.ts';
import { bakeSentences, type NamedOven, partInWords, readPart } from './bake-words.ts';
import { names } from './question-parts.ts';
import { verb, words } from './verb.ts';

const partList = z.array(z.string().min(1).max(100)).max(100).readonly().default([]);

export const bakeQuestion = z.strictObject({
  lines: names.meta(
    words({
      option: 'lines',
      value: '"A, B"',
      noun: 'line',
      example: 'Saltmarsh, Brindle',
      help: 'the lines of clay in the figure',
    }),
  ),
  thickest: range(...BULK_RANGE)
    .exactOptional()
    .meta(
      words({
        option: 'thickest',
        value: 'MM',
        example: '8',
        help: 'the thickest part, as a sheet',
      }),
    ),
  parts: partList.meta(
    words({
      option: 'parts',
      value: '"A, B"',
      noun: 'part',
      help: 'parts by shape in place of --thickest: "sheet 6", "rod 10", "ball 50 over foil 38"',
    }),
  ),
  later: partList.meta(
    words({
      option: 'later',
      value: '"A, B"',
      noun: 'part',
      help: 'parts that are added for a second bake',
    }),
  ),
  on: z
    .enum(STANDS_ON)
    .default('tile')
    .meta(words({ option: 'on', value: 'WHAT', help: 'what the clay is on' })),
  air: z
    .enum(AIRS)
    .default('still')
    .meta(words({ option: 'air', value: 'KIND', help: 'whether a fan moves the air of the oven' })),
  oven: z
    .string()
    .min(1)
    .max(200)
    .exactOptional()
    .meta(
      words({ option: 'oven', value: 'NAME', help: 'the oven, if the book has checks of several' }),
    ),
  dial: tempC.exactOptional().meta(
    words({
      option: 'dial',
      value: 'C',
      help: 'a dial setting to judge, in place of the planned one',
    }),
  ),
});
export type BakeQuestion = z.output<typeof bakeQuestion>;

/** Lines as their packets say, and runs of ovens. */
export interface BakeSubject {
  readonly lines: readonly PacketHeat[];
  readonly ovens: readonly { readonly name: string; readonly check: OvenCheck }[];
}

const minuteRange = z.object({ low: z.number(), high: z.number() });
const stage = z.object({
  /** The part that takes longest, in words. */
  slowest: z.string(),
  through: minuteRange,
  atHeat: z.number(),
  minutes: minuteRange,
});

const RISKS = [
  'no overlap',
  'swing',
  'hot',
  'dial above a packet',
  'dial below a packet',
  'thick',
  'oven not measured',
] as const satisfies readonly BakeRisk[];

const bakeAnswer = z.object({
  kind: z.enum(['plan', 'no temperature', 'too hot']),
  window: z.object({ lowC: z.number(), highC: z.number() }).exactOptional(),
  /** What to aim at, and the peak at the clay: of an oven never measured what must not be passed. */
  meanC: z.number().exactOptional(),
  peakC: z.number().exactOptional(),
  swingC: z.number().exactOptional(),
  /** What to set; only of an oven that was measured. */
  dialC: z.number().exactOptional(),
  warmUpMinutes: z.number().exactOptional(),
  oven: z
    .object({
      name: z.string(),
      offsetC: z.number(),
      swingC: z.number(),
      warmUpMinutes: z.number(),
      apartC: z.number(),
      driftCPerYear: z.number().exactOptional(),
      runs: z.int(),
      warmReadings: z.int(),
    })
    .exactOptional(),
  stages: z.array(stage),
  /** Of all bakes together. */
  totalMinutes: z.number(),
  minutesOnPacket: z.boolean(),
  risks: z.array(z.enum(RISKS)),
  /** Lines whose packets say nothing. */
  silent: z.array(z.string()),
  sentences: z.array(z.string()),
  cautions: z.array(z.object({ title: z.string(), text: z.string() })),
});
export type BakeAnswer = z.output<typeof bakeAnswer>;

/**
 * How hot and how long to bake a figure of one or more lines.
 * Refuses: an unknown line -> unknown-line; a part that cannot be read -> invalid-input; an unknown oven
 * Returns: no temperature where a packet says nothing; no plan where the peak would pass 160 degrees
 */
export const bake = verb({
  name: 'bake',
  asks: 'How hot, and how long?',
  question: bakeQuestion,
  answer: bakeAnswer,
  *run(subject: BakeSubject, question: BakeQuestion): WorkSteps<BakeAnswer> {
    return yield* once('planning the bake', () => planned(subject, question));
  },
});

function planned(subject: BakeSubject, question: BakeQuestion): BakeAnswer {
  const { on, air, dial } = question;
  const lines = question.lines.map((name) => knownLine(subject, name));
  const oven = ovenOf(subject, question.oven);
  const plan = planBake({
    lines,
    stages: stagesOf(question),
    standsOn: on,
    air,
    ...(oven === undefined ? {} : { oven }),
    ...(dial === undefined ? {} : { dialC: dial }),
  });
  const stages = plan.stages.map((one) => ({ ...one, slowest: partInWords(one.slowest) }));
  const shared = {
    kind: plan.kind,
    ...(oven === undefined ? {} : { oven }),
    stages,
    totalMinutes: stages.reduce((sum, { minutes }) => sum + minutes.high, 0),
    minutesOnPacket: lines.some(({ minutesPer6Mm }) => minutesPer6Mm !== undefined),
    silent: plan.kind === 'no temperature' ? [...plan.silent] : [],
    sentences: bakeSentences(plan, question, oven),
    cautions: [...cautionsFor('heat')],
  };
  if (plan.kind === 'no temperature') return { ...shared, risks: [] };
  if (plan.kind === 'too hot') return { ...shared, peakC: plan.peakC, risks: ['hot'] };
  const { window, meanC, peakC, swingC, dialC, warmUpMinutes, risks } = plan;
  return {
    ...shared,
    ...(window === undefined ? {} : { window }),
    meanC,
    peakC,
    ...(swingC === undefined ? {} : { swingC }),
    ...(dialC === undefined ? {} : { dialC }),
    ...(warmUpMinutes === undefined ? {} : { warmUpMinutes }),
    risks: [...risks],
  };
}

function knownLine({ lines }: BakeSubject, name: string): PacketHeat {
  const found = lines.find((line) => clayKey(line.name) === clayKey(name));
  if (found !== undefined) return found;
  const known = lines.map((line) => line.name);
  const alike = nearestNames(name, known);
  throw new AppError({
    code: 'unknown-line',
    kind: 'not-found',
    detail: `The book has no line called ${name.slice(0, 80)}.`,
    hint:
      alike.length > 0
        ? `Did you mean ${alike.join(' or ')}?`
        : known.length > 0
          ? `Lines in the book: ${known.slice(0, 10).join(', ')}.`
          : 'Add the line with what its packet says: kneadwell add line.',
  });
}

function ovenOf({ ovens }: BakeSubject, asked: string | undefined): NamedOven | undefined {
  const name = asked ?? ovens.at(-1)?.name;
  if (name === undefined) return undefined;
  const checks = ovens.filter((one) => clayKey(one.name) === clayKey(name));
  const [first] = checks;
  if (first === undefined) {
    throw new AppError({
      code: 'unknown-oven',
      kind: 'not-found',
      detail: `The book has no check of an oven called ${name.slice(0, 80)}.`,
      hint:
        ovens.length === 0
          ? 'Leave the oven out, and go by a thermometer next to the clay.'
          : `Ovens in the book: ${[...new Set(ovens.map((one) => one.name))].slice(0, 10).join(', ')}.`,
    });
  }
  return { name: first.name, ...ovenHabits(checks.map(({ check }) => check)) };
}

function stagesOf({ thickest, parts, later }: BakeQuestion): readonly (readonly Bulk[])[] {
  const first: Bulk[] = parts.map(readPart);
  if (thickest !== undefined) first.push({ body: 'slab', sizeMm: thickest });
  return later.length === 0 ? [first] : [first, later.map(readPart)];
}
