import { z } from 'zod';
import { AppError, invalidInput } from '../core/errors.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import {
  type BakePlan,
  type BakeRisk,
  type PacketHeat,
  planBake,
  WARN_ABOVE_C,
} from '../core/oven/bake-plan.ts';
import { AIRS, BULK_RANGE, type Bulk, CORE_NAMES, STANDS_ON } from '../core/oven/clay-heat.ts';
import type { Body } from '../core/oven/heat-series.ts';
import {
  ENOUGH_READINGS,
  type OvenCheck,
  type OvenHabits,
  ovenHabits,
} from '../core/oven/oven-check.ts';
import { cautionsFor, LABEL_FIRST } from '../domain/cautions.ts';
import { range, tempC } from '../domain/records/pieces.ts';
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
    .meta(words({ option: 'on', value: 'WHAT', help: 'what the clay lies on' })),
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
  /** Mean and peak at the clay. */
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
    sentences: sentencesOf(plan, question, oven),
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
    swingC,
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

function ovenOf(
  { ovens }: BakeSubject,
  asked: string | undefined,
): (OvenHabits & { name: string }) | undefined {
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

const BODIES: ReadonlyMap<string, Body> = new Map([
  ['sheet', 'slab'],
  ['rod', 'cylinder'],
  ['ball', 'sphere'],
]);

function stagesOf({ thickest, parts, later }: BakeQuestion): readonly (readonly Bulk[])[] {
  const first: Bulk[] = parts.map(readPart);
  if (thickest !== undefined) first.push({ body: 'slab', sizeMm: thickest });
  return later.length === 0 ? [first] : [first, later.map(readPart)];
}

/** "ball 50 over foil 38". Refuses: other words -> invalid-input */
function readPart(text: string): Bulk {
  const number = String.raw`(\d+(?:[.,]\d+)?)\s*(?:mm)?`;
  const pattern = new RegExp(
    `^\\s*(${[...BODIES.keys()].join('|')})\\s+${number}(?:\\s+over\\s+(${CORE_NAMES.join('|')})\\s+${number})?\\s*$`,
    'i',
  );
  const [, shape = '', size = '', ofCore = '', coreSize = ''] = pattern.exec(text) ?? [];
  const body = BODIES.get(shape.toLowerCase());
  if (body === undefined) {
    throw invalidInput(
      `"${text.slice(0, 60)}" is not a part with its size.`,
      'Write sheet, rod or ball and its thickness in mm, for example "ball 25" or "ball 50 over foil 38".',
    );
  }
  const sizeOf = (digits: string) => Number(digits.replace(',', '.'));
  const core = CORE_NAMES.find((one) => one === ofCore.toLowerCase());
  return {
    body,
    sizeMm: sizeOf(size),
    ...(core === undefined ? {} : { core: { of: core, sizeMm: sizeOf(coreSize) } }),
  };
}

function partInWords({ body, sizeMm, core }: Bulk): string {
  const shape = [...BODIES].find(([, one]) => one === body)?.[0];
  return `${shape} ${sizeMm} mm${core === undefined ? '' : ` over ${core.of} ${core.sizeMm} mm`}`;
}

const RISK_WORDS: Readonly<Record<BakeRisk, string>> = {
  'no overlap':
    'No temperature suits all these packets. This is the lowest upper limit, baked longer: some of the clay may stay underbaked and brittle. Bake a test strip with it and bend the strip.',
  swing:
    'The oven swings more than the packets allow. The peak stays below their limit, so the clay is cooler than the lowest temperature for part of the time. Bake a test strip with it and bend the strip.',
  hot: `The clay gets hotter than ${WARN_ABOVE_C} °C at the peak. Clay may scorch and give off fumes. Check the label and the thermometer.`,
  'dial above a packet':
    'With this dial setting the clay gets hotter than a packet allows. Set the dial lower.',
  'dial below a packet':
    'With this dial setting the clay stays below the lowest temperature on a packet. It may stay underbaked and brittle.',
  thick:
    'Parts over 25 mm are better built over a core: solid clay may crack or stay underbaked inside.',
  'oven not measured':
    'This oven was never checked, and dials are often 20 to 30 degrees wrong. Go by a thermometer next to the clay, not by the dial.',
};

const ON_WORDS = {
  free: 'with air on all sides',
  paper: 'on paper',
  tile: 'on a ceramic tile',
  foam: 'on foam',
} as const satisfies Record<BakeQuestion['on'], string>;

function sentencesOf(
  plan: BakePlan,
  { on, lines }: BakeQuestion,
  oven: (OvenHabits & { name: string }) | undefined,
): string[] {
  const slow = plan.stages.map(
    ({ slowest, through, atHeat, minutes }, i) =>
      `${plan.stages.length > 1 ? `Bake ${i + 1}: ` : ''}${minutes.high} minutes in an oven at heat. The slowest part (${partInWords(slowest)}, ${ON_WORDS[on]}) is hot through after ${Math.round(through.low)} to ${Math.round(through.high)} minutes; then ${atHeat} minutes at heat.`,
  );
  const foam =
    on === 'foam'
      ? ['Use only foam that its maker allows in an oven at this heat: other foam melts.']
      : [];
  const heavy =
    on === 'tile' ? ['Put the tile into the oven while it warms up: a cold tile draws heat.'] : [];
  if (plan.kind === 'no temperature') {
    return [
      `No temperature is given: the book does not say what the packet of ${plan.silent.join(' and ')} allows. Read the label and write it into the book.`,
      ...slow,
      ...foam,
      LABEL_FIRST,
    ];
  }
  if (plan.kind === 'too hot') {
    return [
      `No plan: the clay would get ${Math.round(plan.peakC)} °C hot at the peak. Above 160 °C this kind of clay starts to break down and gives off harmful fumes. Check the numbers on the packet and the dial.`,
      LABEL_FIRST,
    ];
  }
  const { window, meanC, peakC, dialC, warmUpMinutes, minutesOnPacket, risks, stages } = plan;
  const heat =
    window === undefined
      ? `${lines.join(' and ')}: the packets have no temperature in common. Aim at ${Math.round(meanC)} °C at the clay, and never above ${Math.round(peakC)} °C.`
      : `${lines.join(' and ')}: ${span(window.lowC, window.highC)} suits all packets. Aim at ${Math.round(meanC)} °C at the clay, at most ${Math.round(peakC)} °C at the peak.`;
  const set =
    dialC === undefined || oven === undefined
      ? []
      : [
          `Set ${oven.name} to ${dialC} °C: next to the clay it is ${offsetInWords(oven.offsetC)}, and swings by ${Math.round(oven.swingC)} degrees either way. Warm it up for ${Math.round(warmUpMinutes ?? 0)} minutes first.`,
          ...(oven.warmReadings < ENOUGH_READINGS
            ? ['The oven was read only a few times once warm, so its swing may be larger.']
            : []),
        ];
  return [
    heat,
    ...set,
    ...slow,
    ...(minutesOnPacket ? [] : ['No packet gives minutes, so these are common practice.']),
    ...(stages.length > 1
      ? [
          `What goes in first bakes every time, ${plan.totalMinutes} minutes together. Whites and translucents may darken a little each time.`,
        ]
      : []),
    ...heavy,
    ...foam,
    ...risks.map((risk) => RISK_WORDS[risk]),
    LABEL_FIRST,
  ];
}

function span(lowC: number, highC: number): string {
  return lowC === highC ? `${lowC} °C` : `${lowC} to ${highC} °C`;
}

function offsetInWords(offsetC: number): string {
  const by = Math.round(Math.abs(offsetC));
  return by === 0
    ? 'as hot as the dial says'
    : `${by} degrees ${offsetC > 0 ? 'hotter' : 'cooler'} than the dial`;
}
