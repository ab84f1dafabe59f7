import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import type { Factors } from '../core/colour/difference.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import type { Recipe } from '../core/recipe/notation.ts';
import type { SeekOptions, SeekRun } from '../core/recipe/seek-options.ts';
import type { OpenClay } from './open-clay.ts';
import type { Basis, Ports, StockRow } from './ports.ts';
import type { RulesInWords } from './seek-rules-in-words.ts';
import { rulesOfCall, stockByParent } from './seek-rules-of-call.ts';

/** Bounds of what may be asked; past them a search would not end or a recipe not be cut. */
export const SEEK_LIMITS = {
  tolerance: [0.01, 100],
  parents: [1, 8],
  parts: [1, 100],
  top: [1, 1000],
  'most-lines': [1, 50],
  'half-part': [0.05, 50],
  batch: [0.1, 100_000],
} as const satisfies Record<string, readonly [number, number]>;

/** Recipes known for certain, from which the alternatives are chosen. */
const LONGER = 60;
/** A piece of work is made to take so long, so that a stop is heard within a twentieth of a second. */
const STEP_MS = 15;
const FIRST_STEP = 1000;
const STEPS = [50, 1_000_000] as const;

/** What may count for half, when nothing is near enough. */
export const GIVE_UP = ['lightness', 'chroma', 'hue'] as const;
export type GiveUp = (typeof GIVE_UP)[number];
const FACTORS: Readonly<Record<GiveUp, Factors>> = {
  lightness: [2, 1, 1],
  chroma: [1, 2, 1],
  hue: [1, 1, 2],
};

export interface SeekQuestion {
  /** Under the light and observer of `viewing`. */
  readonly aim: Lab;
  readonly viewing: Viewing;
  /** Rank by the worst of these too; the aim is taken to look the same under each. */
  readonly otherViewings?: readonly Viewing[];
  /** dE00 up to which a recipe answers the question. */
  readonly tolerance: number;
  readonly mostParents: number;
  /** Most whole parts of one recipe. */
  readonly parts: number;
  readonly top: number;
  readonly rules?: RulesInWords;
  readonly stock?: readonly StockRow[];
  readonly giveUp?: GiveUp;
  readonly exhaustive?: boolean;
  readonly basis?: Basis;
}

/** A question made ready for the core. */
export interface SeekPlan {
  readonly options: SeekOptions;
  readonly stock: ReadonlyMap<number, StockRow>;
  /** What the parts of the recipes count. */
  readonly basis: Basis;
  /** How much one part of each clay holds, as the clay model counts. */
  readonly amounts?: readonly number[];
}

/** Refuses: as `rulesOfCall`; the other basis where a density is not told -> basis-differs */
export function planOf(clay: OpenClay, question: SeekQuestion): SeekPlan {
  const { aim, viewing, otherViewings, mostParents, parts, giveUp } = question;
  const basis = question.basis ?? clay.file.basis;
  const rows = question.stock ?? [];
  const frame = { stock: rows, mostParents, parts, basis };
  const rules = rulesOfCall(clay, question.rules ?? {}, frame);
  const stock = stockByParent(clay, rows);
  const amounts = amountsOf(clay, basis, rules.allowed, stock);
  const factors = giveUp === undefined ? {} : { factors: FACTORS[giveUp] };
  const others = (otherViewings ?? []).map((other) => ({
    aim: labUnder(aim, viewing, other),
    weights: colourWeights(other.light, other.observer),
    ...factors,
  }));
  return {
    stock,
    basis,
    ...(amounts === undefined ? {} : { amounts }),
    options: {
      aim,
      weights: colourWeights(viewing.light, viewing.observer),
      ...factors,
      ...(others.length > 0 ? { otherLights: others } : {}),
      parents: rules.allowed,
      mostParents: Math.min(mostParents, rules.allowed.length),
      parts,
      top: Math.max(question.top, LONGER),
      rules: rules.rules,
      ...(amounts === undefined ? {} : { amounts }),
    },
  };
}

/** Parts of one basis in a model of the other hold as much as the density of each clay says. */
function amountsOf(
  clay: OpenClay,
  basis: Basis,
  allowed: readonly number[],
  stock: ReadonlyMap<number, StockRow>,
): readonly number[] | undefined {
  if (basis === clay.file.basis) return undefined;
  const missing = allowed.find((p) => stock.get(p)?.density === undefined);
  if (missing !== undefined && allowed.length > 1) {
    throw new AppError({
      code: 'basis-differs',
      kind: 'bad-input',
      detail: `Parts by ${basis} are asked for, ${clay.path} was learnt by ${clay.file.basis}, and the density of ${clay.file.parents[missing].name} is not known.`,
      hint: `Write densities in the column "density" of a stock file and name that with --stock, or count parts by ${clay.file.basis}.`,
    });
  }
  return clay.file.parents.map((_, p) => {
    const density = stock.get(p)?.density ?? 1;
    return basis === 'weight' ? 1 / density : density;
  });
}

/** Long work, piece by piece; how far it has come where it can tell. */
type Work = Pick<SeekRun, 'step'> & Partial<Pick<SeekRun, 'settled' | 'total'>>;

/** True when nothing is left to look at, false when it was stopped. */
export async function finish(
  ports: Ports,
  run: Work,
  what: string,
  untilMs = Number.POSITIVE_INFINITY,
): Promise<boolean> {
  let budget = FIRST_STEP;
  for (;;) {
    const began = ports.nowMs();
    if (run.step(Math.round(budget))) return true;
    const pace = STEP_MS / Math.max(0.1, ports.nowMs() - began);
    budget = Math.min(STEPS[1], Math.max(STEPS[0], budget * Math.min(2, pace)));
    const { settled, total } = run;
    const far = settled === undefined || total === undefined ? undefined : settled * total;
    ports.progress({ what, ...(far === undefined ? {} : { done: Math.floor(far), total }) });
    await ports.breathe();
    if (ports.stopped?.() === true || ports.nowMs() > untilMs) return false;
  }
}

export function recipeOf(
  clay: OpenClay,
  parts: readonly { readonly parent: number; readonly parts: number }[],
): Recipe {
  return parts
    .map(({ parent, parts }) => ({ parent: clay.file.parents[parent].name, parts }))
    .sort((one, other) => other.parts - one.parts);
}
