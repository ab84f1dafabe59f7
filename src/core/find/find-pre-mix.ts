import type { Recipe } from '../notation/notation.ts';
import { type PreMix, startPreMix, strongestPart, timesOver } from '../search/pre-mix.ts';
import { startSearch } from '../search/search.ts';
import type { FoundRecipe as CoreRecipe } from '../search/search-options.ts';
import type { FindPlan } from './find-plan.ts';
import { type KnownClays, recipeOf } from './known-clays.ts';
import type { Budget, WorkSteps } from './work-steps.ts';

/** A let-down must come nearer by this to be worth its trouble, dE00. */
const CLEARLY = 0.3;
/** So many of the nearest recipes are tried with a let-down. */
const LET_DOWNS = 20;
/** All of them together may take so long. */
const LET_DOWN_MS = 3000;

/** A strong clay let down first, where whole parts of it would be too coarse. */
export interface PreMixFound {
  /** Nearer than all that is allowed, but for the rule. */
  readonly instead: Recipe;
  /** Cut so many times over; half a part is then so much less. */
  readonly times: number;
  readonly strong: string;
  /** What half a part of the strong clay moves, dE00. */
  readonly moves: number;
  /** The let-down: one part of the strong clay to so many of the base. Absent where none helps. */
  readonly first?: Recipe;
  /** Parts of the let-down, and the rest. */
  readonly preMixParts?: number;
  readonly others?: Recipe;
  readonly dE00?: number;
}

/** Where only the rule on half parts stands before something clearly nearer. */
export function* preMixOf(
  clays: KnownClays,
  plan: FindPlan,
  best: CoreRecipe | undefined,
): WorkSteps<PreMixFound | undefined> {
  const { predictor, names } = clays;
  const { halfPart: limit, ...rules } = plan.options.rules ?? {};
  const below = best === undefined ? Number.POSITIVE_INFINITY : best.dE00 - CLEARLY;
  if (limit === undefined || below <= 0) return undefined;
  const what = 'looking at let-downs';
  const run = startSearch(predictor, { ...plan.options, rules, top: LET_DOWNS, below });
  if ((yield { what, run }) !== 'whole') return undefined;
  let [remade] = run.best();
  if (remade === undefined) return undefined;
  let found: PreMix | undefined;
  const budget: Budget = { ms: LET_DOWN_MS };
  for (const nearer of run.best()) {
    const looking = startPreMix(predictor, plan.options, nearer, limit);
    const ended = yield { what, run: looking, budget };
    const made = looking.best();
    if (made !== undefined && made.dE00 < (found?.dE00 ?? below)) {
      found = made;
      remade = nearer;
    }
    if (ended !== 'whole') break;
  }
  const strongest = strongestPart(predictor, plan.options, remade);
  return {
    instead: recipeOf(clays, remade.parts),
    times: timesOver(plan.options.parts, remade),
    strong: names[strongest.clay],
    moves: strongest.moves,
    ...(found === undefined
      ? {}
      : {
          first: [
            { clay: names[found.base], parts: found.baseParts },
            { clay: names[found.strong], parts: 1 },
          ],
          preMixParts: found.preMixParts,
          others: recipeOf(clays, found.others),
          dE00: found.dE00,
        }),
  };
}
