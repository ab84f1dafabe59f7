import { meanCurves, ofUsualWorld } from '../belief/draws.ts';
import type { SharedPhysics } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import { once, type WorkSteps } from '../find/work-steps.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { startSearch } from '../search/search.ts';
import type { SearchOptions } from '../search/search-options.ts';
import { MATCH } from '../verdict/verdict.ts';
import { startAdditions } from './additions.ts';
import { type LumpReading, namedCase } from './lump.ts';
import { believeLump, type LumpBelief, type LumpOptions } from './lump-belief.ts';
import { type Outlook, outlookOn } from './outlook.ts';

export interface MendTask extends LumpOptions {
  /** Pieces said to be in the lump, by index, and how many pieces of the user's one of them is. */
  readonly said: WholeParts;
  readonly scale: number;
  /** Without a reading the lump is judged by the clay model alone. */
  readonly reading?: LumpReading;
  readonly aim: Lab;
  /** Clays that may be added, by index. */
  readonly clays: readonly number[];
  /** Most different clays in one addition. */
  readonly mostClays: number;
  /** Bounds of a mix made afresh. */
  readonly afreshClays: number;
  readonly afreshParts: number;
}

/** The lump with something added. */
export interface Mended extends Outlook {
  /** Pieces to add. */
  readonly add: WholeParts;
  /** Pieces of the whole: those said to be in the lump, or those of the case that is named. */
  readonly whole: WholeParts;
  /** How many times as large the lump becomes. */
  readonly growth: number;
  /** Chance that it comes closer to the aim than the lump is now. */
  readonly better: number;
}

export interface MendResult {
  readonly cases: LumpBelief['cases'];
  /** The case that is named to the user, see `namedCase`. */
  readonly named: LumpBelief['cases'][number] | undefined;
  /** The lump as it is. */
  readonly now: Outlook;
  /** Smallest first; each is expected closer than all smaller ones. */
  readonly additions: readonly Mended[];
  /** Place in `additions`. */
  readonly recommended: number;
  /** Adding brings too little, or may make it worse, and new clay is no better. */
  readonly leave: boolean;
  /** The best mix made of new clay. */
  readonly afresh: (Outlook & { readonly recipe: WholeParts }) | undefined;
  /** The lump cannot be mended well by half its size again, and new clay can. */
  readonly startAfresh: boolean;
}

/** Most steps of clay that are added, and in how many of them a usual lump is counted. */
const MOST_STEPS = 12;
/** Steps smaller than a piece that can be cut: halves and quarters. */
const SMALL_STEPS = [
  [3, 0.25],
  [6, 0.5],
] as const;
/** Additions looked at closely, of each size. */
const CLOSELY = 12;
/** The smallest addition that is expected within this of the best is the one to make, dE00. */
const AS_GOOD = 0.3;
/** A larger addition is listed where it is expected so much closer than all smaller ones. */
const WORTH_LISTING = 0.05;
/**
 * Adding is not worth it where it is expected to bring less than this, or is less than so likely to
 * bring the lump closer: simulated lumps that were less than 5 off got worse in 41 of 100 where
 * clay was always added, in 5 with this rule.
 */
const LEAST_GAIN = 0.5;
const LEAST_BETTER = 0.9;
/** A lump is not mended where that takes more than half its size, or new clay comes so much closer. */
const LARGEST = 1.5;
const AFRESH_GAIN = 0.75;
const AFRESH_TOP = 6;
/** New clay is looked for among all of so many clays; among more, those of the best recipes of a quick search. */
const MANY = 12;
const QUICK = { mostClays: 3, parts: 6, top: 40 } as const;

/** A lump expected this far off or less is as good as one of new clay, dE00. */
export function asGoodAsNew({ expected }: Outlook): number {
  return Math.max(MATCH, expected + AFRESH_GAIN);
}

/** In what steps clay is added to a lump of so many pieces. */
export function stepOf(pieces: number): number {
  const small = SMALL_STEPS.find(([below]) => pieces < below);
  return small?.[1] ?? Math.max(1, Math.round(pieces / MOST_STEPS));
}

/**
 * What to add to a lump that came out wrong, nothing taken out.
 * Shape:   pieces in the lump, how it looks, the colour wanted -> additions, smallest first
 * Method:  clay model and reading are weighed together (`believeLump`); the additions of every size that
 *          come closest in the middle of that belief are looked at in all its draws, and ranked by the
 *          error to be expected there
 */
export function* mending(predictor: Predictor, question: MendTask): WorkSteps<MendResult> {
  const { said, scale, aim, weights, geometry, clays } = question;
  const belief = yield* once('weighing the lump', () =>
    believeLump(predictor, said, scale, question.reading, question, aim),
  );
  const [{ lump }] = belief.cases;
  const first = belief.draws.filter(({ at }) => at === belief.cases[0]);
  const usual = ofUsualWorld(first.map(({ clays: drawn }) => drawn));
  const leading = first.filter(({ clays: drawn }) => usual.includes(drawn));
  const { model } = belief.unknowns.worlds[usual[0].world];
  const curves = meanCurves(usual, model.clays.length, [
    ...new Set([...clays, ...lump.map(({ clay }) => clay)]),
  ]);
  const physics: SharedPhysics = {
    ...model.physics,
    dilution: meanOf(usual.map(({ dilution }) => dilution)),
    shareExponent: meanOf(usual.map(({ shareExponent }) => shareExponent)),
  };
  const truly = lump.map(({ clay }, i) => ({
    clay,
    parts: Math.exp(
      meanOf(leading.map(({ amounts, departures }) => Math.log(amounts[i]) + departures[i])),
    ),
  }));
  const pieces = lump.reduce((sum, { parts }) => sum + parts, 0);
  const run = startAdditions(model, curves, physics, truly, {
    aim,
    weights,
    geometry,
    clays,
    mostClays: question.mostClays,
    step: stepOf(pieces),
    mostSteps: MOST_STEPS,
    top: CLOSELY,
  });
  yield { what: 'looking at additions', run };

  const fresh = { model: { ...model, physics }, coefficients: curves };
  const useful = yield* usefulClays(fresh, { aim, weights, geometry, clays });
  const search = startSearch(fresh, {
    aim,
    weights,
    geometry,
    clays: useful,
    mostClays: Math.min(question.afreshClays, useful.length),
    parts: question.afreshParts,
    top: AFRESH_TOP,
  });
  yield { what: 'looking at new clay', run: search };

  const named = namedCase(belief.cases);
  const held = named?.lump ?? said.map((part) => ({ ...part, parts: part.parts * scale }));
  const look = outlookOn(belief, aim);
  const now = look([]);
  const additions = listed(
    run.found.map((same) => bestOf(same.map(({ add }) => mended(look(add), add, held, now)))),
  );
  const mixed = bestOf(
    search.best().map(({ parts }) => ({ ...look(parts, false), recipe: parts })),
  );
  const best = Math.min(...additions.map(({ expected }) => expected));
  const recommended = additions.findIndex(({ expected }) => expected <= best + AS_GOOD);
  const chosen = additions[recommended];
  const small = additions.filter(({ growth }) => growth <= LARGEST);
  const smallBest = Math.min(now.expected, ...small.map(({ expected }) => expected));
  const startAfresh = mixed !== undefined && smallBest > asGoodAsNew(mixed);
  const leave =
    !startAfresh &&
    (chosen === undefined ||
      now.expected - chosen.expected < LEAST_GAIN ||
      chosen.better < LEAST_BETTER);
  return {
    cases: belief.cases,
    named,
    now,
    additions,
    recommended,
    leave,
    afresh: mixed,
    startAfresh,
  };
}

/** Of many clays those of the quick search's best recipes, as one look at all mixes of all takes seconds. */
function* usefulClays(
  fresh: Parameters<typeof startSearch>[0],
  search: Pick<SearchOptions, 'aim' | 'weights' | 'geometry' | 'clays'>,
): WorkSteps<readonly number[]> {
  const { clays } = search;
  if (clays.length <= MANY) return clays;
  const run = startSearch(fresh, { ...search, ...QUICK });
  yield { what: 'choosing clays', run };
  const uses = new Map<number, number>();
  for (const { parts } of run.best()) {
    for (const { clay } of parts) uses.set(clay, (uses.get(clay) ?? 0) + 1);
  }
  return [...uses]
    .sort((one, other) => other[1] - one[1] || one[0] - other[0])
    .slice(0, MANY)
    .map(([clay]) => clay);
}

function mended(outlook: Outlook, add: WholeParts, held: WholeParts, now: Outlook): Mended {
  const whole = new Map(held.map(({ clay, parts }) => [clay, parts]));
  const pieces = held.reduce((sum, { parts }) => sum + parts, 0);
  let added = 0;
  for (const { clay, parts } of add) {
    whole.set(clay, (whole.get(clay) ?? 0) + parts);
    added += parts;
  }
  const better = outlook.apart.filter((dE00, n) => dE00 < now.apart[n]).length;
  return {
    ...outlook,
    add,
    whole: [...whole].map(([clay, parts]) => ({ clay, parts })),
    growth: (pieces + added) / pieces,
    better: better / outlook.apart.length,
  };
}

function bestOf<T extends Outlook>(outlooks: readonly T[]): T | undefined {
  return outlooks.reduce<T | undefined>(
    (best, one) => (best === undefined || one.expected < best.expected ? one : best),
    undefined,
  );
}

/** Those that are expected closer than every smaller one. */
function listed(bySize: readonly (Mended | undefined)[]): Mended[] {
  const list: Mended[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const one of bySize) {
    if (one === undefined || one.expected > least - WORTH_LISTING) continue;
    list.push(one);
    least = one.expected;
  }
  return list;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
