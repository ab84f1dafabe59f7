import { type LetDown, startLetDown, strongestPart, timesOver } from '../core/recipe/let-down.ts';
import type { Recipe } from '../core/recipe/notation.ts';
import { startSeek } from '../core/recipe/seek.ts';
import type { FoundRecipe as CoreRecipe } from '../core/recipe/seek-options.ts';
import type { OpenClay } from './open-clay.ts';
import type { Ports } from './ports.ts';
import { finish, recipeOf, type SeekPlan } from './seek-plan.ts';

/** A let-down must come nearer by this to be worth its trouble, dE00. */
const CLEARLY = 0.3;
/** So many of the nearest recipes are tried with a let-down. */
const LET_DOWNS = 20;
/** All of them together may take so long. */
const LET_DOWN_MS = 3000;

/** A strong clay let down first, where whole parts of it would be too coarse. */
export interface LetDownFound {
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
  readonly letDownParts?: number;
  readonly others?: Recipe;
  readonly dE00?: number;
}

/** Where only the rule on half parts stands before something clearly nearer. */
export async function letDownOf(
  ports: Ports,
  clay: OpenClay,
  plan: SeekPlan,
  best: CoreRecipe | undefined,
): Promise<LetDownFound | undefined> {
  const { halfPart: limit, ...rules } = plan.options.rules ?? {};
  const below = best === undefined ? Number.POSITIVE_INFINITY : best.dE00 - CLEARLY;
  if (limit === undefined || below <= 0) return undefined;
  const run = startSeek(clay.predictor, { ...plan.options, rules, top: LET_DOWNS, below });
  if (!(await finish(ports, run, 'looking at let-downs'))) return undefined;
  let [remade] = run.best();
  if (remade === undefined) return undefined;
  let found: LetDown | undefined;
  const untilMs = ports.nowMs() + LET_DOWN_MS;
  for (const nearer of run.best()) {
    const looking = startLetDown(clay.predictor, plan.options, nearer, limit);
    const ended = await finish(ports, looking, 'looking at let-downs', untilMs);
    const made = looking.best();
    if (made !== undefined && made.dE00 < (found?.dE00 ?? below)) {
      found = made;
      remade = nearer;
    }
    if (!ended) break;
  }
  const strongest = strongestPart(clay.predictor, plan.options, remade);
  const name = (p: number) => clay.file.parents[p].name;
  return {
    instead: recipeOf(clay, remade.parts),
    times: timesOver(plan.options.parts, remade),
    strong: name(strongest.parent),
    moves: strongest.moves,
    ...(found === undefined
      ? {}
      : {
          first: [
            { parent: name(found.base), parts: found.baseParts },
            { parent: name(found.strong), parts: 1 },
          ],
          letDownParts: found.letDownParts,
          others: recipeOf(clay, found.others),
          dE00: found.dE00,
        }),
  };
}
