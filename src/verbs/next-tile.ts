import { sharesOfParts } from '../core/clay/mixture.ts';
import type { Viewing } from '../core/colour/adaptation.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { clayIndex } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { parseRecipe, type Recipe, sharesOf } from '../core/notation/notation.ts';
import { startSearch } from '../core/search/search.ts';
import { type NextTile, nextTiles } from '../core/trial/next-tile.ts';
import { candidateTiles, representativeMixes } from '../core/trial/tile-candidates.ts';
import { keyOfShares, type WholeParts } from '../core/trial/whole-parts.ts';
import { READING_DEFAULTS } from '../domain/reading.ts';
import { checkBasis, type OpenClay, openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';

export const NEXT_TILE_LIMITS = {
  tiles: [1, 24],
  parts: [2, 64],
} as const satisfies Record<string, readonly [number, number]>;

/** Mixes that stand for all: so many a clay, between the two. */
const MIXES = { each: 25, least: 300, most: 800 };
/** For an aim, the nearest recipes of few clays stand for what she may come to bake. */
const AIM = { mostClays: 3, parts: 12, top: 3 };
const STEP_RECIPES = 200_000;

export interface NextTileCall {
  readonly clay: string;
  readonly viewing: Viewing;
  readonly tiles: number;
  /** Most whole parts of one tile. */
  readonly parts: number;
  /** Recipes that ought to come out surely, in words. With `aims` none, all mixes. */
  readonly recipes: readonly string[];
  /** Under the light and observer of `viewing`. */
  readonly aims: readonly Lab[];
  /** Names of the clays that tiles may be made of; all when absent. */
  readonly only?: readonly string[];
  readonly basis?: Basis;
}

export interface NamedTile extends Pick<NextTile, 'before' | 'after' | 'sentence'> {
  readonly parts: Recipe;
  /** The clay it tells most about, and what of it. */
  readonly tellsOf: string;
  readonly what: NextTile['reason']['what'];
}

export interface NextTilesNamed {
  /** Mean ± of the mixes as things stand, dE00. */
  readonly expected: number;
  /** Whether they are asked for all mixes, or for some recipes. */
  readonly of: 'all' | 'some';
  readonly tiles: readonly NamedTile[];
}

/**
 * Which tiles to bake next, for all mixes of the clays or for some recipes and aims.
 * Refuses: an unknown name, a recipe that cannot be read, the other basis -> as predict and find
 * Returns: no tile where none would make the mixes noticeably surer
 */
export async function nextTile(ports: Ports, call: NextTileCall): Promise<NextTilesNamed> {
  const clay = await openClay(ports, call.clay);
  checkBasis(clay, call.basis ?? clay.file.basis, 2);
  const all = clay.file.clays.map((_, i) => i);
  const allowed =
    call.only === undefined ? all : [...new Set(call.only.map((name) => clayIndex(clay, name)))];
  const palette = [
    ...call.recipes.map((text) => paletteRecipe(clay, text)),
    ...(await recipesOfAims(ports, clay, call, allowed)),
  ];
  const { model } = clay.predictor;
  const some = palette.length > 0;
  const count = Math.min(MIXES.most, Math.max(MIXES.least, MIXES.each * allowed.length));
  ports.progress({ what: 'weighing tiles' });
  await ports.breathe();
  const { expected, tiles } = nextTiles(clay.predictor, {
    weights: colourWeights(call.viewing.light, call.viewing.observer),
    tiles: call.tiles,
    candidates: some
      ? paletteCandidates(clay, palette, allowed, call.parts)
      : candidateTiles(model, allowed, call.parts),
    targets: some
      ? palette.map((parts) => sharesOfParts(parts))
      : representativeMixes(allowed, count),
    bakeTargets: some,
    spread: READING_DEFAULTS.spreadOfLab,
    partsSpread: READING_DEFAULTS.partsSpreadOfMix,
  });
  return {
    expected,
    of: some ? 'some' : 'all',
    tiles: tiles.map(({ parts, reason, before, after, sentence }) => ({
      parts: parts.map(({ clay, parts }) => ({ clay: model.clays[clay].name, parts })),
      before,
      after,
      tellsOf: model.clays[reason.clay].name,
      what: reason.what,
      sentence,
    })),
  };
}

function paletteRecipe(clay: OpenClay, text: string): WholeParts {
  const recipe = parseRecipe(text);
  checkBasis(clay, clay.file.basis, recipe.length);
  const total = recipe.reduce((sum, term) => sum + term.parts, 0);
  return sharesOf(recipe).map(({ clay: name, share }) => ({
    clay: clayIndex(clay, name),
    parts: tidy(share * total),
  }));
}

/** Sums of shares round; a whole count is to be whole again. */
function tidy(parts: number): number {
  const whole = Math.round(parts);
  return Math.abs(parts - whole) < 1e-9 * whole ? whole : parts;
}

async function recipesOfAims(
  ports: Ports,
  clay: OpenClay,
  { aims, viewing }: NextTileCall,
  clays: readonly number[],
): Promise<WholeParts[]> {
  const found: WholeParts[] = [];
  for (const aim of aims) {
    const run = startSearch(clay.predictor, {
      aim,
      weights: colourWeights(viewing.light, viewing.observer),
      clays,
      mostClays: Math.min(AIM.mostClays, clays.length),
      parts: AIM.parts,
      top: AIM.top,
    });
    while (!run.step(STEP_RECIPES)) {
      ports.progress({ what: 'trying recipes', done: run.tried, total: run.total });
      await ports.breathe();
    }
    found.push(...run.best().map(({ parts }) => parts));
  }
  return found;
}

/** Tiles of the palette's own clays, of whites and blacks, and its recipes as they stand. */
function paletteCandidates(
  clay: OpenClay,
  palette: readonly WholeParts[],
  allowed: readonly number[],
  most: number,
): WholeParts[] {
  const { model } = clay.predictor;
  const used = new Set(palette.flatMap((recipe) => recipe.map(({ clay }) => clay)));
  const helpful = allowed.filter(
    (clay) => used.has(clay) || ['white', 'black'].includes(model.clays[clay].clayClass),
  );
  const tiles = candidateTiles(model, helpful, most);
  const known = new Set(tiles.map((tile) => keyOfShares(sharesOfParts(tile))));
  for (const recipe of palette) {
    const total = recipe.reduce((sum, { parts }) => sum + parts, 0);
    const key = keyOfShares(sharesOfParts(recipe));
    const cut = recipe.every(
      ({ clay, parts }) => Number.isInteger(parts) && allowed.includes(clay),
    );
    if (!cut || total > most || recipe.length < 2 || known.has(key)) continue;
    known.add(key);
    tiles.push(recipe);
  }
  return tiles;
}
