import { labUnder, type Viewing } from '../colour/adaptation.ts';
import type { Factors } from '../colour/difference.ts';
import { HOUSE_VIEWING } from '../colour/house-viewing.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { AppError } from '../errors.ts';
import type { Basis } from '../mixes/mix-graph.ts';
import type { SearchOptions } from '../search/search-options.ts';
import type { Relax } from './find-limits.ts';
import type { KnownClays, StockRow } from './known-clays.ts';
import type { Order } from './recipe-order.ts';
import type { RulesInWords } from './rules-in-words.ts';
import { rulesOfCall, stockByClay } from './rules-of-call.ts';

/** Length of the proven list from which the alternatives are chosen. */
const LONGER = 60;

const FACTORS: Readonly<Record<Relax, Factors>> = {
  lightness: [2, 1, 1],
  chroma: [1, 2, 1],
  hue: [1, 1, 2],
};

export interface FindTask {
  /** Under the light and observer of `viewing`. */
  readonly aim: Lab;
  readonly viewing: Viewing;
  /** Rank by the worst of these too; the aim has the same Lab under each. */
  readonly otherViewings?: readonly Viewing[];
  /** dE00 up to which a recipe counts as close enough. */
  readonly tolerance: number;
  readonly mostClays: number;
  /** Most whole parts of one recipe. */
  readonly parts: number;
  readonly top: number;
  readonly rules?: RulesInWords;
  readonly stock?: readonly StockRow[];
  readonly relax?: Relax;
  /** Of the recipes in the answer; the likeliest first when absent. */
  readonly order?: Order;
  readonly exhaustive?: boolean;
  /** Time limit of the search; then the best so far is the answer. No limit when absent. */
  readonly mostSeconds?: number;
  readonly basis?: Basis;
}

/** A question made ready for the search. */
export interface FindPlan {
  readonly options: SearchOptions;
  readonly stock: ReadonlyMap<number, StockRow>;
  /** Whether the parts of the recipes count volume or weight. */
  readonly basis: Basis;
  /** How much one part of each clay holds, as the clay model counts. */
  readonly amounts?: readonly number[];
}

/** The plan of a changed question; undefined where its rules then contradict each other. */
export function planIfAny(clays: KnownClays, question: FindTask): FindPlan | undefined {
  try {
    return planOf(clays, question);
  } catch {
    return undefined;
  }
}

/** The clays, stock and amounts of a question about clays alone, which no colour changes. Refuses: as `planOf` */
export function planOfClays(
  clays: KnownClays,
  question: Pick<FindTask, 'tolerance' | 'mostClays' | 'parts' | 'rules' | 'stock' | 'basis'>,
): FindPlan {
  return planOf(clays, { ...question, aim: [50, 0, 0], viewing: HOUSE_VIEWING, top: 1 });
}

/** Refuses: as `rulesOfCall`; the other basis where a density is unknown -> basis-differs */
export function planOf(clays: KnownClays, question: FindTask): FindPlan {
  const { aim, viewing, otherViewings, mostClays, parts, relax } = question;
  const basis = question.basis ?? clays.basis;
  const rows = question.stock ?? [];
  const frame = { stock: rows, mostClays, parts, basis };
  const rules = rulesOfCall(clays, question.rules ?? {}, frame);
  const stock = stockByClay(clays, rows);
  const amounts = amountsOf(clays, basis, rules.allowed, stock);
  const factors = relax === undefined ? {} : { factors: FACTORS[relax] };
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
      clays: rules.allowed,
      mostClays: Math.min(mostClays, rules.allowed.length),
      parts,
      top: Math.max(question.top, LONGER),
      rules: rules.rules,
      ...(amounts === undefined ? {} : { amounts }),
    },
  };
}

/** Amounts of parts by one basis in a model of the other, from the density of each clay. */
function amountsOf(
  clays: KnownClays,
  basis: Basis,
  allowed: readonly number[],
  stock: ReadonlyMap<number, StockRow>,
): readonly number[] | undefined {
  if (basis === clays.basis) return undefined;
  const missing = allowed.find((p) => stock.get(p)?.density === undefined);
  if (missing !== undefined && allowed.length > 1) {
    throw new AppError({
      code: 'basis-differs',
      kind: 'bad-input',
      detail: `Parts by ${basis} are asked for, ${clays.hints.all} were learned by ${clays.basis}, and the density of ${clays.names[missing]} is not known.`,
      hint: clays.hints.density,
    });
  }
  return clays.names.map((_, p) => {
    const density = stock.get(p)?.density ?? 1;
    return basis === 'weight' ? 1 / density : density;
  });
}
