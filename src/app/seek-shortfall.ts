import { predictMix } from '../core/clay/predict.ts';
import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { lchFromLab } from '../core/colour/spaces.ts';
import type { Lab } from '../core/colour/triples.ts';
import { withChroma, withImagined } from '../core/recipe/missing-parent.ts';
import type { Recipe } from '../core/recipe/notation.ts';
import { startSeek } from '../core/recipe/seek.ts';
import type { FoundRecipe as CoreRecipe } from '../core/recipe/seek-options.ts';
import { countCompositions } from '../core/recipe/seek-problem.ts';
import { type Side, sidesOf } from '../core/recipe/verdict.ts';
import type { OpenClay } from './open-clay.ts';
import type { Ports } from './ports.ts';
import {
  finish,
  GIVE_UP,
  type GiveUp,
  planOf,
  recipeOf,
  SEEK_LIMITS,
  type SeekPlan,
  type SeekQuestion,
} from './seek-plan.ts';
import type { RuleName, RulesInWords } from './seek-rules-in-words.ts';

/** The best there is when nothing is within tolerance: an answer, no fault. */
export interface Shortfall {
  /** Absent where no recipe keeps to the rules. */
  readonly dE00?: number;
  /** How the best departs from the aim, the largest first. */
  readonly sides: readonly Side[];
  /** What was tried beside the question, and would make it a yes or come nearer; best first. */
  readonly helps: readonly Help[];
  /** What would be nearest if one of the three counted for half. */
  readonly insteads: readonly Instead[];
  readonly missing?: MissingClay;
}

export interface Help {
  /** The rule given up, or the bound widened. */
  readonly kind: RuleName | 'parts' | 'parents';
  /** Which of several: the group of `atLeast` and `atMost`. */
  readonly of?: string;
  /** The new bound of parts and parents. */
  readonly value?: number;
  readonly recipe: Recipe;
  readonly dE00: number;
}

export interface Instead {
  readonly giveUp: GiveUp;
  readonly recipe: Recipe;
  readonly sides: readonly Side[];
}

/** A kind of clay that is not there. */
export interface MissingClay {
  /** Name of the colour it would have. */
  readonly name: string;
  /** Its least chroma, C*ab under the light asked for. */
  readonly chroma: number;
  readonly lab: Lab;
  /** How near the aim would then come, dE00. */
  readonly dE00: number;
}

/** All questions on the side together may take so long. */
const ASIDE_MS = 8000;
const ONE_MS = 2000;
/** A tenth of a unit nearer is no help to anybody. */
const HELPS = 0.1;
/** Chroma of an imagined clay, as shares of the aim's. */
const CHROMAS = [0.6, 0.75, 0.9, 1, 1.1, 1.25, 1.5];
const MOST_WAYS = 50_000;

/**
 * Why nothing comes near enough, found by asking again with one thing changed.
 * Holds: every help, instead and missing clay was tried and does what it says
 */
export async function shortfallOf(
  ports: Ports,
  clay: OpenClay,
  question: SeekQuestion,
  plan: SeekPlan,
  best: CoreRecipe | undefined,
): Promise<Shortfall> {
  const untilMs = ports.nowMs() + ASIDE_MS;
  const within = () => Math.min(untilMs, ports.nowMs() + ONE_MS);
  const helps: Help[] = [];
  const stopped = () => ports.stopped?.() === true;
  for (const { help, changed } of changes(question, clay)) {
    if (stopped()) break;
    const run = nearest(clay, changed, best === undefined ? undefined : best.dE00 - HELPS);
    if (run === undefined) continue;
    await finish(ports, run, 'trying what would help', within());
    const [first] = run.best();
    if (first === undefined) continue;
    helps.push({ ...help, recipe: recipeOf(clay, first.parts), dE00: first.dE00 });
  }
  const insteads: Instead[] = [];
  for (const giveUp of best === undefined || question.giveUp !== undefined ? [] : GIVE_UP) {
    if (stopped()) break;
    const run = nearest(clay, { ...question, giveUp }, undefined);
    if (run === undefined) continue;
    await finish(ports, run, 'trying what to give up', within());
    const [first] = run.best();
    if (first === undefined || same(first, best!)) continue;
    const sides = sidesOf(question.aim, first.lab);
    insteads.push({ giveUp, recipe: recipeOf(clay, first.parts), sides });
  }
  const missing =
    best === undefined
      ? undefined
      : await missingClay(ports, clay, question, plan, best, () => ports.nowMs() < untilMs);
  return {
    ...(best === undefined ? {} : { dE00: best.dE00 }),
    sides: best === undefined ? [] : sidesOf(question.aim, best.lab),
    helps: helps.sort((one, other) => one.dE00 - other.dE00),
    insteads,
    ...(missing === undefined ? {} : { missing }),
  };
}

/** The question with one rule given up, or one bound widened, in turn. */
function changes(
  question: SeekQuestion,
  clay: OpenClay,
): { help: Omit<Help, 'recipe' | 'dE00'>; changed: SeekQuestion }[] {
  const rules = question.rules ?? {};
  const without = (name: RuleName, kept?: RulesInWords[RuleName]) => {
    const { [name]: _, ...rest } = rules;
    return { ...question, rules: kept === undefined ? rest : { ...rest, [name]: kept } };
  };
  const out: { help: Omit<Help, 'recipe' | 'dE00'>; changed: SeekQuestion }[] = [];
  for (const kind of Object.keys(rules) as RuleName[]) {
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
  const mostParents = question.mostParents + 1;
  if (mostParents <= Math.min(clay.file.parents.length, SEEK_LIMITS.parents[1], question.parts)) {
    out.push({
      help: { kind: 'parents', value: mostParents },
      changed: { ...question, mostParents },
    });
  }
  return out;
}

/** The nearest recipe alone, if it is nearer than `below`. */
function nearest(clay: OpenClay, question: SeekQuestion, below: number | undefined) {
  let plan: SeekPlan;
  try {
    plan = planOf(clay, question);
  } catch {
    // One rule fewer may leave two others that contradict: no help then.
    return undefined;
  }
  const { options } = plan;
  const ways = countCompositions(Math.min(options.mostParents, options.parts), options.parts);
  if (ways > MOST_WAYS || (below !== undefined && below <= 0)) return undefined;
  return startSeek(clay.predictor, {
    ...options,
    top: 1,
    ...(below === undefined ? {} : { below }),
  });
}

function same(one: CoreRecipe, other: CoreRecipe): boolean {
  return (
    one.parts.length === other.parts.length &&
    one.parts.every(({ parent, parts }) =>
      other.parts.some((part) => part.parent === parent && part.parts === parts),
    )
  );
}

/** The least chromatic clay of the aim's hue that would bring the aim into reach, by trying some. */
async function missingClay(
  ports: Ports,
  clay: OpenClay,
  question: SeekQuestion,
  { options }: SeekPlan,
  best: CoreRecipe,
  hasTime: () => boolean,
): Promise<MissingClay | undefined> {
  const { aim, viewing, tolerance } = question;
  const shares = best.parts.map(({ parent, parts }) => ({ parent, share: parts }));
  const total = shares.reduce((sum, { share }) => sum + share, 0);
  const { spectrum } = predictMix(
    clay.predictor,
    shares.map(({ parent, share }) => ({ parent, share: share / total })),
    { weights: options.weights, partsSpread: 0 },
  );
  const [, chroma] = lchFromLab(aim);
  const imagined = clay.predictor.model.parents.length;
  const { rules = {}, amounts } = options;
  const must = [...(rules.must ?? []), imagined];
  if (must.length > Math.min(question.mostParents, options.parts)) return undefined;
  for (const share of CHROMAS) {
    if (!hasTime() || ports.stopped?.() === true) return undefined;
    const lab = withChroma(aim, share * chroma);
    const made = withImagined(clay.predictor, lab, spectrum, options.weights);
    if (made === undefined) continue;
    const run = startSeek(made.predictor, {
      ...options,
      ...(amounts === undefined ? {} : { amounts: [...amounts, middleOf(amounts)] }),
      parents: [...options.parents, imagined],
      mostParents: Math.min(question.mostParents, Math.max(3, must.length)),
      // It counts as of no line, kind or stock that a rule names, so none is broken by it.
      rules: { ...rules, must },
      top: 1,
      below: tolerance,
    });
    await finish(ports, run, 'imagining what is missing', ports.nowMs() + ONE_MS);
    const [first] = run.best();
    if (first === undefined) continue;
    const shown = labUnder(lab, viewing, { light: 'D50', observer: 2 });
    return { name: colourName(shown).name, chroma: share * chroma, lab, dE00: first.dE00 };
  }
  return undefined;
}

function middleOf(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1];
}
