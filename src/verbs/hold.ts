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
import { type HandlingNote, handlingInWords, handlingOfPairs } from '../core/strength/handling.ts';
import {
  readSpecimen,
  type Specimen,
  specimenInWords,
  thinnestMm,
} from '../core/strength/specimen.ts';
import { ACTION_NAMES, actionsOf, strainOf } from '../core/strength/strain.ts';
import { leastShare, nextTests, provenFor } from '../core/strength/strength-advice.ts';
import {
  CLASH_SURE,
  holdingChance,
  type Load,
  strengthBelief,
} from '../core/strength/strength-belief.ts';
import { cautionsFor } from '../domain/cautions.ts';
import { range } from '../domain/records/pieces.ts';
import type { BodyOf } from '../domain/records/record.ts';
import { bendAmount, specimenSchema } from '../domain/records/strength-bodies.ts';
import {
  actionInWords,
  holdSentences,
  type LinePair,
  PRIOR_WORDS,
  PROVEN,
  percent,
  readTest,
  testInWords,
} from './hold-words.ts';
import { verb, words } from './verb.ts';

/** One way to bend one specimen. */
const testSchema = z.strictObject({
  specimen: specimenSchema,
  action: z.enum(ACTION_NAMES),
  amount: bendAmount.exactOptional(),
});

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
  like: z
    .union([z.string().min(1).max(200), testSchema])
    .exactOptional()
    .meta(
      words({
        option: 'like',
        value: '"TEST"',
        example: 'strip 1.5 x 10 x 60 mm, ends together',
        help: 'a test that bends its specimen as hard as the part must take, in place of --push',
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

/** Bend tests with the names of their lines, and how mixes handled. */
export interface HoldSubject {
  readonly handling: readonly HandlingNote[];
  readonly tests: readonly {
    readonly strong: string;
    readonly other?: string;
    readonly body: BodyOf<'bend-test'>;
  }[];
}

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
  /** How mixes of the two lines handled in near equal shares; of all pairs where no pair was tested. */
  handling: z.array(
    z.object({
      lines: z.tuple([z.string(), z.string()]).readonly(),
      notes: z.int(),
      felt: z.object({ soft: z.int(), sticky: z.int(), crumbly: z.int() }),
      helped: z.array(z.object({ what: z.string(), helped: z.int(), tried: z.int() })).readonly(),
    }),
  ),
  sentences: z.array(z.string()),
  /** What was believed before any test. */
  prior: z.string(),
  cautions: z.array(z.object({ title: z.string(), text: z.string() })),
});
export type HoldAnswer = z.output<typeof holdAnswer>;

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
  const { strain, withinLimit, must } = bendOf(specimen, question);
  const bulk: PartBulk = thinnestMm(specimen) > THICK_MM ? 'thick' : 'thin';
  const load: Load = { strain, bulk, translucent, powder };
  const part = `${specimenInWords(specimen)}, ${must}`;
  const pair = pairOf(subject, question);
  const rows = pair === undefined ? [] : rowsOf(subject, pair);
  const handling = handlingOfPairs(subject.handling).filter(
    ({ lines }) => pair === undefined || isPair(lines, pair),
  );
  const handles = handling.map(handlingInWords);
  const known = {
    part,
    strain,
    withinLimit,
    tests: rows.length,
    handling: [...handling],
    prior: PRIOR_WORDS,
    cautions: [...cautionsFor('strength')],
  };
  if (pair === undefined || rows.length === 0) {
    const how = `Make three strips of each share (100, 50, 25, 12, 0 % of the strong line), and bend them at least as hard as this part: a stretch of ${percent(strain)} %.`;
    return {
      ...known,
      clash: { chance: 0, counts: false },
      next: [],
      sentences: ['There is no bend test yet, so nobody can say.', how, ...handles],
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
    sentences: holdSentences({
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
      handles,
    }),
  };
}

/** What the part must take: its own push or bend, or that of a test. Refuses: a pinch -> invalid-input */
function bendOf(specimen: Specimen, { action, push, like }: HoldQuestion) {
  if (like !== undefined) {
    const test = typeof like === 'string' ? readTest(like) : like;
    const found = strainOf(test.specimen, test.action, test.amount);
    if (found.rankOnly) throw noMeasure();
    const how = `${specimenInWords(test.specimen)}, ${actionInWords(test.action, test.amount)}`;
    return { ...found, must: `bent as hard as ${how}` };
  }
  const can = actionsOf(specimen.form);
  const done = action ?? can.find((one) => one === 'pushed') ?? can[0] ?? 'pushed';
  const found = strainOf(specimen, done, push);
  if (found.rankOnly) throw noMeasure();
  return { ...found, must: actionInWords(done, push) };
}

function noMeasure(): AppError {
  return new AppError({
    code: 'invalid-input',
    kind: 'bad-input',
    detail: 'A pinch has no measure, so nothing can be worked out from it.',
    hint: 'Say how far the part is pushed, for example --push 3.',
  });
}

function isPair(lines: readonly string[], { strong, other }: LinePair): boolean {
  const keys = lines.map(clayKey);
  return keys.includes(clayKey(strong)) && keys.includes(clayKey(other));
}

/** The pair asked for, else the one with most results. Refuses: a line without tests -> no-bend-tests */
function pairOf({ tests }: HoldSubject, { strong, other }: HoldQuestion): LinePair | undefined {
  const counts = new Map<string, LinePair & { results: number }>();
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
function rowsOf({ tests }: HoldSubject, pair: LinePair): readonly BendResultRow[] {
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
