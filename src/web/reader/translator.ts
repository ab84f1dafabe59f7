import { sharesOfParts } from '../../core/clay/mixture.ts';
import type { Lab } from '../../core/colour/triples.ts';
import {
  ALL_RECIPES_UP_TO,
  type AllRecipes,
  allRecipes,
  usefulClays,
} from '../../core/share/all-recipes.ts';
import { labWithGloss } from '../../core/share/gloss.ts';
import { lightPredictor } from '../../core/share/light-predictor.ts';
import { chanceWithin } from '../../core/verdict/chance.ts';
import { MATCH, plusMinusOf, sidesOf, verdictWord } from '../../core/verdict/verdict.ts';
import { claysOfCurves } from '../../domain/share/share-curves.ts';
import type { SiteClays } from '../../domain/site/site-data.ts';

/** A recipe for the reader's own clays. */
export interface OwnRecipe {
  /** Places among the clays of the file. */
  readonly parts: readonly { readonly clay: number; readonly parts: number }[];
  readonly lab: Lab;
  readonly dE00: number;
  readonly plusMinus: number;
  readonly chance: number;
  readonly word: ReturnType<typeof verdictWord>;
  /** On which side it differs most; empty where nothing can be seen. */
  readonly side: string;
}

/** Clays looked at for one colour, where too many are ticked to try every recipe. */
const LOOKED_AT = 14;
/** Smaller differences are not spoken of. */
const SEEN = 0.8;

/** Translates colours into recipes of ticked clays; undefined where the file has no curves. */
export function translator({ curves, clays }: SiteClays) {
  if (curves === undefined) return undefined;
  const light = lightPredictor(
    claysOfCurves(
      curves,
      clays.map(({ name }) => name),
    ),
  );
  const { model } = light.predictor;
  const placeOf = curves.clays.map(({ clay }) => clay);
  let ticked: readonly number[] = [];
  let recipes: AllRecipes | undefined;
  return {
    /** Places of clays that have curves; shimmering ones are left out, as their look cannot be computed. */
    usable: placeOf.filter((_, i) => model.clays[i].effect === undefined),
    tick(places: ReadonlySet<number>) {
      ticked = placeOf.flatMap((place, i) =>
        places.has(place) && model.clays[i].effect === undefined ? [i] : [],
      );
      recipes =
        ticked.length <= ALL_RECIPES_UP_TO ? allRecipes(light.predictor, ticked) : undefined;
    },
    translate(lab: Lab, gloss: number): OwnRecipe | undefined {
      if (ticked.length === 0) return undefined;
      const aim = labWithGloss(lab, gloss, model.geometry);
      const from =
        recipes ??
        allRecipes(light.predictor, usefulClays(light.predictor, ticked, aim, LOOKED_AT));
      const found = from.closest(aim);
      if (found === undefined) return undefined;
      const own = light.predict(sharesOfParts(found.parts));
      const plusMinus = plusMinusOf(own.lab, own.covariance);
      const [side] = sidesOf(aim, own.lab);
      return {
        parts: found.parts.map(({ clay, parts }) => ({ clay: placeOf[clay], parts })),
        lab: labWithGloss(own.lab, model.geometry, gloss),
        dE00: found.dE00,
        plusMinus,
        chance: chanceWithin(aim, own.lab, own.covariance, MATCH),
        word: verdictWord(found.dE00),
        side: side !== undefined && side.size >= SEEN ? side.word : '',
      };
    },
  };
}
