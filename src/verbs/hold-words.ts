import { AppError } from '../core/errors.ts';
import { readSpecimen } from '../core/strength/specimen.ts';
import { ACTION_NAMES, ACTIONS, type Action } from '../core/strength/strain.ts';
import type { NextTest } from '../core/strength/strength-advice.ts';
import type { HoldingChance, Load } from '../core/strength/strength-belief.ts';
import { LABEL_FIRST } from '../domain/cautions.ts';
import type { BodyOf } from '../domain/records/record.ts';

export const PROVEN = ['holds', 'fails', 'unproven'] as const;

export interface LinePair {
  readonly strong: string;
  readonly other: string;
}

/** Said with every chance. */
export const PRIOR_WORDS =
  'Before any test, Kneadwell believes little: the weak line may tolerate a stretch of 0.3 to 30 %, more of the strong line is no weaker, and bakes differ. These numbers are our own, from no source. A bend test is no promise of safety: cold, age and repeated bending weaken a part.';

interface Said {
  readonly found: HoldingChance;
  readonly proven: (typeof PROVEN)[number];
  readonly share: number;
  readonly least: number | undefined;
  readonly high: number;
  readonly wanted: number;
  readonly pair: LinePair;
  readonly counts: boolean;
  readonly withinLimit: boolean;
  readonly next: readonly { readonly how: string }[];
  /** How the two lines handle. */
  readonly handles: readonly string[];
}

/** What an answer says, the most important first. */
export function holdSentences(said: Said): string[] {
  const { found, proven, share, least, high, wanted, pair, counts, withinLimit, next, handles } =
    said;
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
    ...handles,
    'A new bake may come out differently: name the bake of every test.',
    LABEL_FIRST,
  ];
}

export function testInWords({ share, strain }: NextTest, load: Load, pair: LinePair): string {
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

export function actionInWords(action: Action, amount: number | undefined): string {
  const needs: { readonly unit?: string } = ACTIONS[action];
  return needs.unit === undefined ? action : `${action} ${amount} ${needs.unit}`;
}

export function percent(share: number): string {
  return String(Number((100 * share).toPrecision(2)));
}

/** "strip 1.5 x 10 x 60 mm, around a rod 6 mm". Refuses: other words -> invalid-input */
export function readTest(
  text: string,
): Pick<BodyOf<'bend-test'>, 'specimen' | 'action' | 'amount'> {
  const actions = [...ACTION_NAMES].sort((a, b) => b.length - a.length).join('|');
  const found = new RegExp(
    `^(.+?),\\s*(${actions})(?:\\s+([\\d.,]+)\\s*(?:mm|turns)?)?\\s*$`,
    'i',
  ).exec(text);
  const [, specimen, bent, written] = found ?? [];
  const action = ACTION_NAMES.find((one) => one === bent?.toLowerCase());
  if (specimen === undefined || action === undefined) {
    throw new AppError({
      code: 'invalid-input',
      kind: 'bad-input',
      detail: `"${text.slice(0, 60)}" is not a test.`,
      hint: `Write its shape, then how it is bent, for example "strip 1.5 x 10 x 60 mm, ends together". Ways to bend: ${ACTION_NAMES.join(', ')}.`,
    });
  }
  const amount = written === undefined ? undefined : Number(written.replace(',', '.'));
  return {
    specimen: readSpecimen(specimen),
    action,
    ...(amount === undefined ? {} : { amount }),
  };
}
