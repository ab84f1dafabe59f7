import { invalidInput } from '../core/errors.ts';
import { inARow } from '../core/in-a-row.ts';
import { type BakePlan, type BakeRisk, WARN_ABOVE_C } from '../core/oven/bake-plan.ts';
import { type Bulk, CORE_NAMES, type StandsOn } from '../core/oven/clay-heat.ts';
import type { Body } from '../core/oven/heat-series.ts';
import { ENOUGH_READINGS, type OvenHabits } from '../core/oven/oven-check.ts';
import { LABEL_FIRST } from '../domain/cautions.ts';

/** What is known of an oven, with what it is called. */
export type NamedOven = OvenHabits & { readonly name: string };

/** What of a question the words depend on. */
interface PlanAsked {
  readonly lines: readonly string[];
  readonly on: StandsOn;
  /** A dial setting to judge. */
  readonly dial?: number;
}

const BODIES: ReadonlyMap<string, Body> = new Map([
  ['sheet', 'slab'],
  ['rod', 'cylinder'],
  ['ball', 'sphere'],
]);

/** "ball 50 over foil 38". Refuses: other words -> invalid-input */
export function readPart(text: string): Bulk {
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

export function partInWords({ body, sizeMm, core }: Bulk): string {
  const shape = [...BODIES].find(([, one]) => one === body)?.[0];
  return `${shape} ${sizeMm} mm${core === undefined ? '' : ` over ${core.of} ${core.sizeMm} mm`}`;
}

const STRIP_TEST = 'Bake a test strip with it and bend the strip.';
const STEADIER =
  'Ceramic tiles in the oven and a tent of foil over the clay make the heat steadier.';

const RISK_WORDS: Readonly<Record<BakeRisk, string>> = {
  'no overlap': `No temperature suits all these packets. This is the lowest upper limit, baked longer: some of the clay may stay underbaked and brittle. ${STRIP_TEST}`,
  swing: `The oven swings more than the packets allow. The peak stays below their limit, so the clay is cooler than the lowest temperature for part of the time. ${STEADIER} Then check the oven once more. ${STRIP_TEST}`,
  hot: `The clay gets hotter than ${WARN_ABOVE_C} °C at the peak. Clay may scorch and give off fumes. Check the label and the thermometer.`,
  'dial above a packet':
    'With this dial setting the clay may get hotter than a packet allows. Set the dial lower.',
  'dial below a packet':
    'With this dial setting the clay stays below the lowest temperature on a packet. It may stay underbaked and brittle.',
  thick:
    'Parts over 25 mm are better built over a core: solid clay may crack or stay underbaked inside.',
  'oven not measured': `This oven was never checked. Dials are often 20 to 30 degrees wrong, and small ovens swing by 10 to 25 degrees either way. ${STEADIER} If the thermometer still swings out of the range, keep its highest at the limit, bake longer, and bend a test strip.`,
};

const ON_WORDS = {
  free: 'with air on all sides',
  paper: 'on paper',
  tile: 'on a ceramic tile',
  foam: 'on foam',
} as const satisfies Record<StandsOn, string>;

/** What a plan says, the most important first. */
export function bakeSentences(
  plan: BakePlan,
  question: PlanAsked,
  oven: NamedOven | undefined,
): string[] {
  const { on } = question;
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
      `No temperature is given: the book does not say what the packet of ${inARow(plan.silent)} allows. Read the label and write it into the book.`,
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
  const { minutesOnPacket, risks, stages } = plan;
  return [
    aimSentence(plan, question),
    ...ovenSentences(plan, question, oven),
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

type MadePlan = Extract<BakePlan, { kind: 'plan' }>;

function aimSentence(
  { window, meanC, peakC, dialC }: MadePlan,
  { lines, dial }: PlanAsked,
): string {
  const suits =
    window === undefined
      ? `${inARow(lines)}: the packets have no temperature in common.`
      : `${inARow(lines)}: ${span(window.lowC, window.highC)} suits all packets.`;
  const [mean, peak] = [Math.round(meanC), Math.round(peakC)];
  if (dial !== undefined) {
    return `${suits} With the dial at ${dial} °C the clay is at about ${mean} °C, and up to ${peak} °C at the peak.`;
  }
  return dialC === undefined
    ? `${suits} Aim at ${mean} °C at the clay, and never above ${peak} °C.`
    : `${suits} Aim at ${mean} °C at the clay, at most ${peak} °C at the peak.`;
}

/** What to do with the oven; without a check, a thermometer says more than any dial. */
function ovenSentences(
  { dialC, warmUpMinutes }: MadePlan,
  { dial }: PlanAsked,
  oven: NamedOven | undefined,
): readonly string[] {
  if (oven === undefined) {
    return [
      'Put a thermometer next to the clay and go by it: turn the dial until the thermometer shows the right temperature and stays there.',
    ];
  }
  const set =
    dial === undefined
      ? `Set ${oven.name} to ${dialC} °C: next`
      : `${oven.name} by its checks: next`;
  return [
    `${set} to the clay it is ${offsetInWords(oven.offsetC)}, and swings by ${Math.round(oven.swingC)} degrees either way. Warm it up for ${Math.round(warmUpMinutes ?? 0)} minutes first.`,
    ...(oven.warmReadings < ENOUGH_READINGS
      ? ['The oven was read only a few times once warm, so its swing may be larger.']
      : []),
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
