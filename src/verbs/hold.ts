import { z } from 'zod';
import { AppError } from '../core/errors.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import {
  type BendResultRow,
  type PartBulk,
  RESULTS,
  THICK_MM,
} from '../core/strength/bend-results.ts';
import {
  readSpecimen,
  type Specimen,
  specimenInWords,
  thinnestMm,
} from '../core/strength/specimen.ts';
import {
  ACTION_NAMES,
  ACTIONS,
  type Action,
  actionsOf,
  strainOf,
} from '../core/strength/strain.ts';
import {
  leastShare,
  type NextTest,
  nextTests,
  provenFor,
} from '../core/strength/strength-advice.ts';
import {
  CLASH_SURE,
  holdingChance,
  type Load,
  type StrengthBelief,
  strengthBelief,
} from '../core/strength/strength-belief.ts';
import { cautionsFor, LABEL_FIRST } from '../domain/cautions.ts';
import { range } from '../domain/records/pieces.ts';
import type { BodyOf } from '../domain/records/record.ts';
import { bendAmount, specimenSchema } from '../domain/records/strength-bodies.ts';
import { verb, words } from './verb.ts';

const lineName = z.string().min(1).max(200);

export const holdQuestion = z.strictObject({
  shape: z.union([z.string().min(1).max(200), specimenSchema]).meta(
    words({
      option: 'shape',
      value: '"SHAPE"',
      example: 'petal 1.2 x 10 x 20 mm',
      help: 'the part and its sizes in mm: rod, strip, petal, pointed petal, ring, coil or tip',
    }),
  ),
  action: z
    .enum(ACTION_NAMES)
    .exactOptional()
    .meta(
      words({
        option: 'action',
        value: '"ACTION"',
        help: 'what the part must take; pushed where the shape can be',
      }),
    ),
  push: bendAmount.exactOptional().meta(
    words({
      option: 'push',
      value: 'N',
      help: 'how far: mm of a push or a stretch, mm of a rod it is bent around, or turns of a twist',
    }),
  ),
  strong: lineName.exactOptional().meta(
    words({
      option: 'strong',
      value: 'LINE',
      noun: 'line',
      help: 'the strong line; that of most tests when left out',
    }),
  ),
  other: lineName.exactOptional().meta(
    words({
      option: 'other',
      value: 'LINE',
      noun: 'line',
      help: 'the line mixed with it; that of most tests when left out',
    }),
  ),
  share: range(0, 1)
    .exactOptional()
    .meta(
      words({
        option: 'share',
        value: 'N',
        help: 'share of the strong line to judge, 0 to 1; the advised share when left out',
      }),
    ),
  translucent: range(0, 1)
    .default(0)
    .meta(words({ option: 'translucent', value: 'N', help: 'share of translucent clay, 0 to 1' })),
  powder: range(0, 1)
    .default(0)
    .meta(words({ option: 'powder', value: 'N', help: 'share of powder worked in, 0 to 1' })),
  wanted: range(0.5, 0.99)
    .default(0.9)
    .meta(
      words({ option: 'wanted', value: 'N', help: 'chance of holding that you want, 0.5 to 0.99' }),
    ),
});
export type HoldQuestion = z.output<typeof holdQuestion>;

/** Bend tests with the names of their lines. */
export interface HoldSubject {
  readonly tests: readonly {
    readonly strong: string;
    readonly other?: string;
    readonly body: BodyOf<'bend-test'>;
  }[];
}

const PROVEN = ['holds', 'fails', 'unproven'] as const;

const holdAnswer = z.object({
  /** The part and what it must take, in words. */
  part: z.string(),
  strain: z.number(),
  withinLimit: z.boolean(),
  pair: z.object({ strong: z.string(), other: z.string() }).exactOptional(),
  /** Results of this pair. */
  tests: z.int(),
  /** Chance that the two lines do not get on, and whether the answer counts on that. */
  clash: z.object({ chance: z.number(), counts: z.boolean() }),
  /** Of the share asked for, or the advised one; absent without tests. */
  at: z
    .object({
      share: z.number(),
      chance: z.number(),
      low: z.number(),
      high: z.number(),
      sure: z.number(),
      held: z.int(),
      asHard: z.int(),
      mostFailing: z.number(),
      proven: z.enum(PROVEN),
    })
    .exactOptional(),
  /** The least share that is enough in nine cases of ten. */
  least: z.number().exactOptional(),
  /** Where the least share likely is; above 1 where none is enough. */
  likely: z.object({ low: z.number(), high: z.number() }).exactOptional(),
  next: z.array(z.object({ share: z.number(), strain: z.number(), how: z.string() })),
  sentences: z.array(z.string()),
  /** What was believed before any test. */
  prior: z.string(),
  cautions: z.array(z.object({ title: z.string(), text: z.string() })),
});
export type HoldAnswer = z.output<typeof holdAnswer>;

/** Said with every chance. */
const PRIOR_WORDS =
  'Before any test, Kneadwell believes little: the weak line may tolerate a stretch of 0.3 to 30 %, more of the strong line is no weaker, and bakes differ. These numbers are our own, from no source. A bend test is no promise of safety: cold, age and repeated bending weaken a part.';

/**
 * Whether a part holds what it must take, and the least share of the strong line for that, from bend tests.
 * Refuses: a shape or an action that makes no sense -> invalid-input; a line without tests -> no-bend-tests
 * Holds:   without a test no chance is given; every chance has its k of n and the exact bound beside it
 */
export const hold = verb({
  name: 'hold',
  asks: 'Will this part hold?',
  question: holdQuestion,
  answer: holdAnswer,
  *run(subject: HoldSubject, question: HoldQuestion): WorkSteps<HoldAnswer> {
    return yield* once('weighing the bend tests', () => held(subject, question));
  },
});

function held(subject: HoldSubject, question: HoldQuestion): HoldAnswer {
  const { wanted, translucent, powder } = question;
  const specimen: Specimen =
    typeof question.shape === 'string' ? readSpecimen(question.shape) : question.shape;
  const action =
    question.action ??
    actionsOf(specimen.form).find((one) => one === 'pushed') ??
    actionsOf(specimen.form)[0] ??
    'pushed';
  const { strain, withinLimit, rankOnly } = strainOf(specimen, action, question.push);
  if (rankOnly) {
    throw new AppError({
      code: 'invalid-input',
      kind: 'bad-input',
      detail: 'A pinch has no measure, so nothing can be worked out from it.',
      hint: 'Say how far the part is pushed, for example --push 3.',
    });
  }
  const bulk: PartBulk = thinnestMm(specimen) > THICK_MM ? 'thick' : 'thin';
  const load: Load = { strain, bulk, translucent, powder };
  const part = `${specimenInWords(specimen)}, ${actionInWords(action, question.push)}`;
  const pair = pairOf(subject, question);
  const rows = pair === undefined ? [] : rowsOf(subject, pair);
  const known = {
    part,
    strain,
    withinLimit,
    tests: rows.length,
    prior: PRIOR_WORDS,
    cautions: [...cautionsFor('strength')],
  };
  if (pair === undefined || rows.length === 0) {
    const how = `Make three strips of each share (100, 50, 25, 12, 0 % of the strong line), and bend them at least as hard as this part: a stretch of ${percent(strain)} %.`;
    return {
      ...known,
      clash: { chance: 0, counts: false },
      next: [],
      sentences: ['There is no bend test yet, so nobody can say.', how],
    };
  }
  const belief = strengthBelief(rows);
  const { least, low, high } = leastShare(belief, load, wanted);
  const share = question.share ?? least ?? 1;
  const found = holdingChance(belief, share, load);
  const proven = provenFor(belief, found, wanted);
  const counts = belief.clashChance >= CLASH_SURE;
  const next = nextTests(belief, load, wanted).map((test) => ({
    ...test,
    how: testInWords(test, load, pair),
  }));
  return {
    ...known,
    pair,
    clash: { chance: belief.clashChance, counts },
    at: {
      share,
      chance: found.chance,
      low: found.low,
      high: found.high,
      sure: found.sure,
      held: found.asHard.held,
      asHard: found.asHard.tests,
      mostFailing: found.asHard.mostFailing,
      proven,
    },
    ...(least === undefined ? {} : { least }),
    likely: { low, high },
    next: proven === 'holds' ? [] : next,
    sentences: sentencesOf({
      belief,
      found,
      proven,
      share,
      least,
      high,
      wanted,
      pair,
      counts,
      withinLimit,
      next,
    }),
  };
}

interface Pair {
  readonly strong: string;
  readonly other: string;
}

/** The pair asked for, else the one with most results. Refuses: a line without tests -> no-bend-tests */
function pairOf({ tests }: HoldSubject, { strong, other }: HoldQuestion): Pair | undefined {
  const counts = new Map<string, Pair & { results: number }>();
  for (const test of tests) {
    if (test.other === undefined || test.body.result === undefined) continue;
    const key = `${clayKey(test.strong)}\n${clayKey(test.other)}`;
    const one = counts.get(key) ?? { strong: test.strong, other: test.other, results: 0 };
    counts.set(key, one);
    one.results++;
  }
  const pairs = [...counts.values()];
  const is = (asked: string | undefined, name: string) =>
    asked === undefined || clayKey(asked) === clayKey(name);
  const fitting = pairs.filter((one) => is(strong, one.strong) && is(other, one.other));
  fitting.sort((a, b) => b.results - a.results);
  const [best] = fitting;
  if (best !== undefined) return { strong: best.strong, other: best.other };
  if (strong === undefined && other === undefined) return undefined;
  const asked = [strong, other].filter((one) => one !== undefined).join(' with ');
  const tested = pairs.map((one) => `${one.strong} with ${one.other}`);
  const alike = nearestNames(asked, [
    ...tested,
    ...pairs.flatMap((one) => [one.strong, one.other]),
  ]);
  throw new AppError({
    code: 'no-bend-tests',
    kind: 'not-found',
    detail: `There is no bend test of ${asked.slice(0, 80)}.`,
    hint:
      alike.length > 0
        ? `Did you mean ${alike.join(' or ')}?`
        : tested.length > 0
          ? `Tested so far: ${tested.join('; ')}.`
          : 'Record bend tests of these lines first.',
  });
}

/** Results of a pair, and those of its two lines alone. */
function rowsOf({ tests }: HoldSubject, pair: Pair): readonly BendResultRow[] {
  const [strong, other] = [clayKey(pair.strong), clayKey(pair.other)];
  return tests.flatMap(({ strong: s, other: o, body }) => {
    if (body.result === undefined) return [];
    const ofPair = clayKey(s) === strong && (o === undefined || clayKey(o) === other);
    const otherAlone = o === undefined && clayKey(s) === other;
    if (!ofPair && !otherAlone) return [];
    const { strain, rankOnly } = strainOf(body.specimen, body.action, body.amount);
    return [
      {
        share: ofPair ? body.strongShare : 0,
        translucent: body.translucentShare ?? 0,
        powder: body.powderShare ?? 0,
        strain,
        rankOnly,
        grade: RESULTS.indexOf(body.result),
        batch: body.bakeName ?? body.bake?.day ?? body.set ?? '',
      },
    ];
  });
}

interface Said {
  readonly belief: StrengthBelief;
  readonly found: ReturnType<typeof holdingChance>;
  readonly proven: (typeof PROVEN)[number];
  readonly share: number;
  readonly least: number | undefined;
  readonly high: number;
  readonly wanted: number;
  readonly pair: Pair;
  readonly counts: boolean;
  readonly withinLimit: boolean;
  readonly next: readonly { readonly how: string }[];
}

function sentencesOf(said: Said): string[] {
  const { found, proven, share, least, high, wanted, pair, counts, withinLimit, next } = said;
  const { held: k, tests: n, mostFailing } = found.asHard;
  const blend = `${percent(share)} % ${pair.strong}`;
  const chance = tensInWords(found.chance);
  const verdict = {
    holds: `${blend} holds, ${chance}.`,
    fails: `${blend} does not hold well enough: ${chance}.`,
    unproven: `${blend} is unproven: perhaps ${chance}, anything from ${Math.round(10 * found.low)} to ${Math.round(10 * found.high)} in 10.`,
  }[proven];
  const bound =
    n === 0
      ? 'No result is as hard on the clay as this, with no more of the strong line.'
      : `${k} of ${n} results at least as hard held; alone they still allow ${Math.ceil(100 * mostFailing)} % failures.`;
  const enough = `Least share for ${Math.round(10 * wanted)} in 10`;
  const advice =
    least === undefined
      ? `${enough}: not proven for any share yet.`
      : `${enough}: ${percent(least)} % ${pair.strong}, nine in ten sure.`;
  return [
    verdict,
    bound,
    advice,
    ...(least !== undefined && proven === 'holds'
      ? []
      : [
          `How far the tests have come: the least share may still be up to ${high > 1 ? 'more than 100' : percent(high)} %.`,
        ]),
    ...(proven === 'holds'
      ? []
      : [`Make these two next: ${next.map(({ how }) => how).join('; ')}.`]),
    ...(counts
      ? [
          `These two lines do not get on: blends of ${pair.strong} and ${pair.other} are weaker than either alone.`,
        ]
      : []),
    ...(withinLimit
      ? []
      : ['This bend is beyond what the formula measures, so take its number as a rank.']),
    'A new bake may come out differently: name the bake of every test.',
    LABEL_FIRST,
  ];
}

function testInWords({ share, strain }: NextTest, load: Load, pair: Pair): string {
  const times = strain / load.strain;
  const often = Math.abs(times - 1) < 0.01 ? '' : `${times.toFixed(1)} times `;
  const far = `${often}as hard as this part must take`;
  return `${percent(share)} % ${pair.strong}, bent ${far} (a stretch of ${percent(strain)} %), in a bake of its own`;
}

/** Close to sure is not sure: ten in ten is said only of a chance that rounds to 1.00. */
function tensInWords(chance: number): string {
  return chance >= 0.95 && chance < 0.995
    ? 'more than 9 in 10'
    : `${Math.round(10 * chance)} in 10`;
}

function actionInWords(action: Action, amount: number | undefined): string {
  const needs: { readonly unit?: string } = ACTIONS[action];
  return needs.unit === undefined ? action : `${action} ${amount} ${needs.unit}`;
}

function percent(share: number): string {
  return String(Number((100 * share).toPrecision(2)));
}
