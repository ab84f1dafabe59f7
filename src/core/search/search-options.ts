import type { Factors } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { Gloss } from '../optics/surface.ts';
import type { SearchRules } from './search-rules.ts';

/** An aim under one light. */
export interface FindView {
  readonly aim: Lab;
  /** Light and observer of the aim and of the answers. */
  readonly weights: ColourWeights;
  /** Divisors of the differences in lightness, chroma and hue; all 1 when absent. */
  readonly factors?: Factors;
}

export interface SearchOptions extends FindView {
  /** When other lights are named, recipes are ranked by the worst of all lights. */
  readonly otherLights?: readonly FindView[];
  /** When absent, as in most of the model's readings. */
  readonly geometry?: Gloss;
  /** Clays that may be used, as indices into the model; none is named twice. */
  readonly clays: readonly number[];
  /** Most clays in one recipe. */
  readonly mostClays: number;
  /** Most whole parts in one recipe, all clays together. */
  readonly parts: number;
  /** How many recipes to list. */
  readonly top: number;
  readonly rules?: SearchRules;
  /** Only recipes closer than this matter, dE00; all when absent. */
  readonly below?: number;
  /**
   * How much clay one part holds, by index into the model, in the measure the clay model mixes in.
   * All alike when absent; parts by weight of clays learned by volume hold 1 / density.
   */
  readonly amounts?: readonly number[];
}

export interface SearchHit {
  readonly parts: readonly { readonly clay: number; readonly parts: number }[];
  /** Under the first light. */
  readonly lab: Lab;
  /** The largest over all lights. */
  readonly dE00: number;
}

export interface SearchRun {
  /**
   * Does about this much more work (one unit is a recipe, or as long as a recipe takes); true at
   * the end.
   */
  step(budget: number): boolean;
  /** Recipes whose colour was worked out so far. */
  readonly tried: number;
  /** Number of all recipes, without those with a common factor; rules are not subtracted. */
  readonly total: number;
  /** Share of all recipes tried or proven worse, 0-1. */
  readonly settled: number;
  /** Best first; equals by total parts, then by names. Proven once `step` has returned true. */
  best(): SearchHit[];
}
