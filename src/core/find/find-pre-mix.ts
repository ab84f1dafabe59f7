import type { Recipe } from '../notation/notation.ts';
import { type PreMix, startPreMix, strongestPart, timesOver } from '../search/pre-mix.ts';
import { startSearch } from '../search/search.ts';
import type { SearchHit as CoreRecipe } from '../search/search-options.ts';
import type { FindPlan } from './find-plan.ts';
import { type KnownClays, recipeOf } from './known-clays.ts';
import { limitedTo, type WorkSteps } from './work-steps.ts';

/** A pre-mix must be closer by this to be worth the work, dE00. */
const CLEARLY = 0.3;
/** How many of the closest recipes are tried with a pre-mix. */
const LET_DOWNS = 20;
/** Pre-mixes tried for each of them at most. */
const MOST_PRE_MIXES = 20_000;

/** A strong clay pre-mixed first, where whole parts of it would be too coarse. */
export interface PreMixFound {
  /** Closer than all recipes allowed, but it breaks the rule on half parts. */
  readonly instead: Recipe;
  /** Cut this many times larger; half a part then counts for less. */
  readonly times: number;
  readonly strong: string;
  /** How far half a part of the strong clay moves the colour, dE00. */
  readonly moves: number;
  /**
   * The pre-mix: one part of the strong clay to some parts of the base. Absent where none helps.
   */
  readonly first?: Recipe;
  /** Parts of the pre-mix; the other parts of the recipe follow. */
  readonly preMixParts?: number;
  readonly others?: Recipe;
  readonly dE00?: number;
}

/** A pre-mix where the rule on half parts alone excludes a clearly closer recipe. */
export function* preMixOf(
  clays: KnownClays,
  plan: FindPlan,
  best: CoreRecipe | undefined,
): WorkSteps<PreMixFound | undefined> {
  const { predictor, names } = clays;
  const { halfPart: limit, ...rules } = plan.options.rules ?? {};
  const below = best === undefined ? Number.POSITIVE_INFINITY : best.dE00 - CLEARLY;
  if (limit === undefined || below <= 0) return undefined;
  const what = 'trying pre-mixes';
  const run = startSearch(predictor, { ...plan.options, rules, top: LET_DOWNS, below });
  if ((yield { what, run }) !== 'whole') return undefined;
  let [remade] = run.best();
  if (remade === undefined) return undefined;
  let found: PreMix | undefined;
  for (const nearer of run.best()) {
    const looking = startPreMix(predictor, plan.options, nearer, limit);
    const ended = yield { what, run: limitedTo(MOST_PRE_MIXES, looking) };
    const made = looking.best();
    if (made !== undefined && made.dE00 < (found?.dE00 ?? below)) {
      found = made;
      remade = nearer;
    }
    if (ended === 'stopped') break;
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
