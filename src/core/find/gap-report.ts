import { sharesOfParts } from '../clay/mixture.ts';
import { predictMix } from '../clay/predict.ts';
import { labUnder } from '../colour/adaptation.ts';
import { colourName } from '../colour/colour-name.ts';
import { asPaint } from '../colour/paint-range.ts';
import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import type { Recipe } from '../notation/notation.ts';
import { withChroma, withImagined } from '../search/missing-clay.ts';
import { startSearch } from '../search/search.ts';
import type { SearchHit as CoreRecipe } from '../search/search-options.ts';
import { countCompositions } from '../search/search-problem.ts';
import { type Side, sidesOf } from '../verdict/verdict.ts';
import { FIND_LIMITS, RELAX, type Relax } from './find-limits.ts';
import { type FindPlan, type FindTask, planIfAny } from './find-plan.ts';
import { specialEffectOf } from './flat-clays.ts';
import { type KnownClays, recipeOf } from './known-clays.ts';
import { predictViewed } from './predicted-mix.ts';
import type { RuleName, RulesInWords } from './rules-in-words.ts';
import { stockByClay } from './rules-of-call.ts';
import { limitedTo, type WorkSteps } from './work-steps.ts';

/** The best recipe when none is within tolerance; an answer and not an error. */
export interface GapReport {
  /** Absent where no recipe keeps to the rules. */
  readonly dE00?: number;
  /** In which directions the best recipe differs from the aim, the largest first. */
  readonly sides: readonly Side[];
  /**
   * Changes to the question that were tried and would bring a recipe within tolerance or closer;
   * best first.
   */
  readonly helps: readonly Relaxation[];
  /** The closest recipes when lightness, chroma or hue counts for half. */
  readonly insteads: readonly Instead[];
  readonly missing?: MissingClay;
}

export interface Relaxation {
  /** The rule removed, or the bound widened. */
  readonly kind: RuleName | 'parts' | 'clays';
  /** Which of several rules: the group of `atLeast` and `atMost`. */
  readonly of?: string;
  /** The new bound of parts and clays. */
  readonly value?: number;
  readonly recipe: Recipe;
  readonly dE00: number;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

export interface Instead {
  readonly relax: Relax;
  readonly recipe: Recipe;
  readonly sides: readonly Side[];
  readonly shown: Lab;
}

/** A clay that is missing from the stock. */
export interface MissingClay {
  /** Name of the colour it would have. */
  readonly name: string;
  /** The least chroma the clay needs, C*ab under the light of the search. */
  readonly chroma: number;
  readonly lab: Lab;
  /** D50 and 2 degree. */
  readonly shown: Lab;
  /** How close to the aim the best recipe would then come, dE00. */
  readonly dE00: number;
}

/** Steps of each side search at most. */
const MOST_STEPS = 100_000;
/** A gain of less than a tenth of a unit is no help. */
const HELPS = 0.1;
/** Chroma of an imagined clay, as shares of the aim's chroma. */
const CHROMAS = [0.6, 0.75, 0.9, 1, 1.1, 1.25, 1.5];
const MOST_WAYS = 50_000;

/**
 * Explains why no recipe is close enough, by searching again with one thing changed; `hear` is
 * called whenever more is known.
 * Holds:   every help, instead and missing clay was tried and does what it says
 */
export function* shortfallOf(
  clays: KnownClays,
  question: FindTask,
  plan: FindPlan,
  best: CoreRecipe | undefined,
  hear: (soFar: GapReport) => void = () => {},
): WorkSteps<GapReport> {
  const shown = (recipe: CoreRecipe) => shownOf(clays, plan, recipe);
  let soFar: GapReport = {
    ...(best === undefined ? {} : { dE00: best.dE00 }),
    sides: best === undefined ? [] : sidesOf(question.aim, best.lab),
    helps: [],
    insteads: [],
  };
  const say = (more: Partial<GapReport>) => {
    soFar = { ...soFar, ...more };
    hear(soFar);
  };
  hear(soFar);
  for (const { help, changed } of changes(question, clays)) {
    const run = nearest(clays, changed, best === undefined ? undefined : best.dE00 - HELPS);
    if (run === undefined) continue;
    const ended = yield { what: 'trying what would help', run: limitedTo(MOST_STEPS, run) };
    const [first] = run.best();
    if (first !== undefined) {
      const recipe = recipeOf(clays, first.parts);
      const found = { ...help, recipe, dE00: first.dE00, shown: shown(first) };
      say({ helps: [...soFar.helps, found].sort((one, other) => one.dE00 - other.dE00) });
    }
    if (ended === 'stopped') return soFar;
  }
  for (const relax of best === undefined || question.relax !== undefined ? [] : RELAX) {
    const run = nearest(clays, { ...question, relax }, undefined);
    if (run === undefined) continue;
    const ended = yield { what: 'trying what to accept', run: limitedTo(MOST_STEPS, run) };
    const [first] = run.best();
    if (first !== undefined && !same(first, best!)) {
      const sides = sidesOf(question.aim, first.lab);
      const recipe = recipeOf(clays, first.parts);
      say({ insteads: [...soFar.insteads, { relax, recipe, sides, shown: shown(first) }] });
    }
    if (ended === 'stopped') return soFar;
  }
  const missing = best === undefined ? undefined : yield* missingClay(clays, question, plan, best);
  if (missing !== undefined) say({ missing });
  return soFar;
}

/** D50 and 2 degree. */
function shownOf({ predictor }: KnownClays, { amounts }: FindPlan, { parts }: CoreRecipe): Lab {
  return predictViewed(predictor, sharesOfParts(parts, amounts), { light: 'D50', observer: 2 }).lab;
}

/** The question with one rule removed, or one bound widened, in turn. */
function changes(
  question: FindTask,
  clays: KnownClays,
): { help: Omit<Relaxation, 'recipe' | 'dE00' | 'shown'>; changed: FindTask }[] {
  const rules = question.rules ?? {};
  const without = (name: RuleName, remaining?: RulesInWords[RuleName]) => {
    const { [name]: _, ...rest } = rules;
    return { ...question, rules: remaining === undefined ? rest : { ...rest, [name]: remaining } };
  };
  const out: { help: Omit<Relaxation, 'recipe' | 'dE00' | 'shown'>; changed: FindTask }[] = [];
  if (rules.effects !== true && hasEffects(clays, question)) {
    const changed = { ...question, rules: { ...rules, effects: true } };
    out.push({ help: { kind: 'effects' }, changed });
  }
  for (const kind of Object.keys(rules) as RuleName[]) {
    if (kind === 'effects') continue;
    if (kind === 'atLeast' || kind === 'atMost') {
      const list = rules[kind] ?? [];
      list.forEach(({ of }, i) => {
        out.push({ help: { kind, of }, changed: without(kind, list.toSpliced(i, 1)) });
      });
    } else if (rules[kind] !== undefined) {
      out.push({ help: { kind }, changed: without(kind) });
    }
  }
  const parts = Math.min(question.parts * 2, 32);
  if (parts > question.parts) {
    out.push({ help: { kind: 'parts', value: parts }, changed: { ...question, parts } });
  }
  const mostClays = question.mostClays + 1;
  if (mostClays <= Math.min(clays.names.length, FIND_LIMITS.clays[1], question.parts)) {
    out.push({
      help: { kind: 'clays', value: mostClays },
      changed: { ...question, mostClays },
    });
  }
  return out;
}

/** Whether any clay is not flat. */
function hasEffects(clays: KnownClays, { stock = [] }: FindTask): boolean {
  const rows = stockByClay(clays, stock);
  return clays.names.some((_, clay) => specialEffectOf(clays, clay, rows.get(clay)) !== undefined);
}

/** The closest recipe alone, if it is closer than `below`. */
function nearest(clays: KnownClays, question: FindTask, below: number | undefined) {
  const plan = planIfAny(clays, question);
  if (plan === undefined) return undefined;
  const { options } = plan;
  const ways = countCompositions(Math.min(options.mostClays, options.parts), options.parts);
  if (ways > MOST_WAYS || (below !== undefined && below <= 0)) return undefined;
  return startSearch(clays.predictor, {
    ...options,
    top: 1,
    ...(below === undefined ? {} : { below }),
  });
}

function same(one: CoreRecipe, other: CoreRecipe): boolean {
  return (
    one.parts.length === other.parts.length &&
    one.parts.every(({ clay, parts }) =>
      other.parts.some((part) => part.clay === clay && part.parts === parts),
    )
  );
}

/**
 * The least chromatic clay of the aim's hue that would bring the aim into the gamut, found by
 * trying some.
 */
function* missingClay(
  { predictor }: KnownClays,
  question: FindTask,
  { options }: FindPlan,
  best: CoreRecipe,
): WorkSteps<MissingClay | undefined> {
  const { aim, viewing, tolerance } = question;
  const { spectrum } = predictMix(predictor, sharesOfParts(best.parts, options.amounts), {
    weights: options.weights,
    partsSpread: 0,
  });
  const [, chroma] = lchFromLab(aim);
  const imagined = predictor.model.clays.length;
  const { rules = {}, amounts } = options;
  const must = [...(rules.must ?? []), imagined];
  if (must.length > Math.min(question.mostClays, options.parts)) return undefined;
  for (const share of CHROMAS) {
    const lab = withChroma(aim, share * chroma);
    const shown = labUnder(lab, viewing, { light: 'D50', observer: 2 });
    // No clay is stronger than the strongest paint.
    const isPossible = asPaint(shown) === shown;
    const made = isPossible ? withImagined(predictor, lab, spectrum, options.weights) : undefined;
    if (made === undefined) continue;
    const run = startSearch(made.predictor, {
      ...options,
      ...(amounts === undefined ? {} : { amounts: [...amounts, middleOf(amounts)] }),
      clays: [...options.clays, imagined],
      mostClays: Math.min(question.mostClays, Math.max(3, must.length)),
      // It has no line, type or stock that a rule names, so it breaks no rule.
      rules: { ...rules, must },
      top: 1,
      below: tolerance,
    });
    const what = 'trying a clay you do not have';
    const ended = yield { what, run: limitedTo(MOST_STEPS, run) };
    const [first] = run.best();
    if (first !== undefined) {
      const { name } = colourName(shown);
      return { name, chroma: share * chroma, lab, shown, dE00: first.dE00 };
    }
    if (ended === 'stopped') return undefined;
  }
  return undefined;
}

function middleOf(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1];
}
