import { chanceWithin } from '../../core/clay/chance.ts';
import { type Predictor, predictMix } from '../../core/clay/predict.ts';
import { lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { colourWeights } from '../../core/colour/weights.ts';
import { withChroma, withImagined } from '../../core/recipe/missing-parent.ts';
import { startSeek } from '../../core/recipe/seek.ts';
import type { FoundRecipe, SeekOptions } from '../../core/recipe/seek-options.ts';
import { countRecipes } from '../../core/recipe/seek-problem.ts';
import { sidesOf, verdict } from '../../core/recipe/verdict.ts';
import type { Found, Help, SeekAsk, Shortfall } from './messages.ts';
import { foretellMix } from './open-clay.ts';

const weights = () => colourWeights('D50', 2);

export function optionsOf(ask: SeekAsk): SeekOptions {
  const { aim, parents, parts, top, rules } = ask;
  const mostParents = Math.min(ask.mostParents, parents.length, parts);
  return {
    aim,
    weights: weights(),
    parents,
    mostParents,
    parts,
    top,
    ...(rules === undefined ? {} : { rules }),
  };
}

/** A recipe with its ±, its verdict and its chance, most parts first. */
export function judged(predictor: Predictor, ask: SeekAsk, recipe: FoundRecipe): Found {
  const parts = [...recipe.parts].sort((one, other) => other.parts - one.parts);
  const foretold = foretellMix(predictor, parts);
  const { lab, covariance } = foretold;
  return {
    ...foretold,
    parts,
    verdict: verdict(ask.aim, lab, covariance),
    chance: chanceWithin(ask.aim, lab, covariance, ask.tolerance),
  };
}

/** Searches on the side must not keep her waiting. */
const ASIDE_RECIPES = 3_000_000;
/** Less nearer than this is no help to anybody, dE00. */
const NEARER = 0.1;
/** How much more chroma than the aim an imagined clay may have. */
const CHROMAS = [1, 1.25, 1.6, 2];

/** Why nothing is near, and what would bring it nearer: what else she may allow, then what to own. */
export function shortfallOf(
  predictor: Predictor,
  ask: SeekAsk,
  best: FoundRecipe | undefined,
): Shortfall {
  const all = predictor.model.parents.map((_, i) => i);
  const known = best?.dE00 ?? Number.POSITIVE_INFINITY;
  const wider: { kind: Help['kind']; value: number; ask: SeekAsk }[] = [];
  if (ask.parents.length < all.length) {
    wider.push({ kind: 'all-clays', value: all.length, ask: { ...ask, parents: all } });
  }
  wider.push(
    { kind: 'more-parts', value: 2 * ask.parts, ask: { ...ask, parts: 2 * ask.parts } },
    {
      kind: 'more-parents',
      value: ask.mostParents + 1,
      ask: { ...ask, mostParents: ask.mostParents + 1 },
    },
  );
  const helps = wider.flatMap(({ kind, value, ask: other }) => {
    const found = bestOf(predictor, { ...other, top: 1 });
    if (found === undefined || found.dE00 > known - NEARER) return [];
    return [{ kind, value, found: judged(predictor, other, found), dE00: found.dE00 }];
  });
  helps.sort((one, other) => one.dE00 - other.dE00);
  if (best === undefined) return { sides: [], helps };
  const missing = missingClay(predictor, ask, best);
  return {
    dE00: best.dE00,
    sides: sidesOf(ask.aim, best.lab),
    helps,
    ...(missing === undefined ? {} : { missing }),
  };
}

function bestOf(predictor: Predictor, ask: SeekAsk): FoundRecipe | undefined {
  const options = optionsOf(ask);
  const { parents, mostParents, parts } = options;
  if (countRecipes(parents.length, mostParents, parts) > ASIDE_RECIPES) return undefined;
  const run = startSeek(predictor, options);
  while (!run.step(200_000));
  return run.best()[0];
}

/** The least bright clay of the aim's hue and lightness that would bring the aim within tolerance. */
function missingClay(predictor: Predictor, ask: SeekAsk, best: FoundRecipe): Lab | undefined {
  const total = best.parts.reduce((sum, { parts }) => sum + parts, 0);
  const shares = best.parts.map(({ parent, parts }) => ({ parent, share: parts / total }));
  const { spectrum } = predictMix(predictor, shares, { weights: weights(), partsSpread: 0 });
  const [, chroma] = lchFromLab(ask.aim);
  for (const factor of CHROMAS) {
    const imagined = withImagined(
      predictor,
      withChroma(ask.aim, chroma * factor),
      spectrum,
      weights(),
    );
    if (imagined === undefined) continue;
    const parents = [...ask.parents, predictor.model.parents.length];
    const found = bestOf(imagined.predictor, { ...ask, parents, top: 1 });
    if (found !== undefined && found.dE00 <= ask.tolerance) return imagined.lab;
  }
  return undefined;
}
