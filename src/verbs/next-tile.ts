import { z } from 'zod';
import { classOf } from '../core/clay/clay-class.ts';
import { sharesOfParts } from '../core/clay/mixture.ts';
import { colourWeights } from '../core/colour/weights.ts';
import { clayName, type KnownClays } from '../core/find/known-clays.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { keyOfShares, type WholeParts } from '../core/mixes/whole-parts.ts';
import { parseRecipe } from '../core/notation/notation.ts';
import { startSearch } from '../core/search/search.ts';
import { nextTiles } from '../core/trial/next-tile.ts';
import { candidateTiles, representativeMixes } from '../core/trial/tile-candidates.ts';
import { HOW_TO_READ, type Means } from '../domain/advice.ts';
import { explanationsSchema } from '../domain/explanation.ts';
import { READING_DEFAULTS } from '../domain/records/reading.ts';
import { spreadOfKind } from '../domain/records/reading-kind.ts';
import { readAim } from './aim.ts';
import { explanationsOf, recipeAnswer } from './answer-parts.ts';
import { checkBasis, clayIndices, partsByIndex } from './open-clay.ts';
import { basis, type MixAsked, mixSchema, only, viewing, wantedFields } from './question-parts.ts';
import { verb, words } from './verb.ts';

/** Mixes that stand for all: so many a clay, between the two. */
const MIXES = { each: 25, least: 300, most: 800 };
/** For an aim, the closest recipes of few clays stand for what the user may bake. */
const AIM = { mostClays: 3, parts: 12, top: 3 };

export const nextTileQuestion = z.strictObject({
  tiles: z
    .int()
    .min(1)
    .max(24)
    .default(3)
    .meta(words({ option: 'tiles', value: 'N', help: 'tiles to name' })),
  wanted: z
    .array(mixSchema)
    .max(100)
    .default([])
    .meta(
      words({
        option: 'for',
        value: 'RECIPE',
        reads: 'mix',
        help: 'a mix that you want to be sure of; without --for, --aim and --palette, all mixes of two and three clays count',
      }),
    ),
  ...wantedFields,
  parts: z
    .int()
    .min(2)
    .max(64)
    .default(16)
    .meta(words({ option: 'parts', value: 'N', help: 'most whole parts in one tile' })),
  only: only.meta(
    words({ option: 'only', value: '"A, B"', help: 'name tiles of these clays only' }),
  ),
  basis,
  viewing,
});
export type NextTileQuestion = z.output<typeof nextTileQuestion>;

const nextTileAnswer = z.object({
  /** Mean ± of the mixes as things are, dE00. */
  expected: z.number(),
  /** Whether they are asked for all mixes, or for some recipes. */
  of: z.enum(['all', 'some']),
  /** How to read them, by the means at hand. */
  how: z.string(),
  tiles: z.array(
    z.object({
      parts: recipeAnswer,
      before: z.number(),
      after: z.number(),
      /** The clay the tile says most about, and what of it. */
      tellsOf: z.string(),
      what: z.enum(['colour', 'scattering', 'strength', 'mix']),
      sentence: z.string(),
    }),
  ),
  /** Tiles to look at before baking anything. */
  lookAt: z.array(z.object({ tile: z.string(), sentence: z.string() })),
  explanations: explanationsSchema.exactOptional(),
});
export type NextTileAnswer = z.output<typeof nextTileAnswer>;

/** Clays, and how their tiles are read; measured where nothing says so. */
export interface ReadClays extends KnownClays {
  readonly means?: Means;
}

/**
 * Which tiles to bake next, for all mixes of the clays or for some recipes and aims.
 * Refuses: an unknown name, a recipe that cannot be read, the other basis -> as predict and find
 * Returns: no tile where none would make the mixes noticeably surer
 */
export const nextTile = verb({
  name: 'next-tile',
  asks: 'Which tile should I bake next?',
  question: nextTileQuestion,
  answer: nextTileAnswer,
  *run(clays: ReadClays, question: NextTileQuestion): WorkSteps<NextTileAnswer> {
    const { tiles, parts, wanted, viewing } = question;
    const { means = 'measured' } = clays;
    checkBasis(clays, question.basis, 2);
    const allowed = clayIndices(clays, question.only);
    const palette = [
      ...wanted.map((mix) => paletteRecipe(clays, mix)),
      ...(yield* recipesOfAims(clays, question, allowed)),
    ];
    const { model } = clays.predictor;
    const some = palette.length > 0;
    const count = Math.min(MIXES.most, Math.max(MIXES.least, MIXES.each * allowed.length));
    const named = yield* once('weighing tiles', () =>
      nextTiles(clays.predictor, {
        weights: colourWeights(viewing.light, viewing.observer),
        tiles,
        candidates: some
          ? paletteCandidates(clays, palette, allowed, parts)
          : candidateTiles(model, allowed, parts),
        targets: some
          ? palette.map((recipe) => sharesOfParts(recipe))
          : representativeMixes(allowed, count),
        bakeTargets: some,
        spread: spreadOfKind(means),
        partsSpread: READING_DEFAULTS.partsSpreadOfMix,
      }),
    );
    return {
      expected: named.expected,
      of: some ? 'some' : 'all',
      how: HOW_TO_READ[means],
      ...explanationsOf(clays),
      lookAt: tilesToLookAt(clays),
      tiles: named.tiles.map(({ parts: counts, reason, before, after, sentence }) => ({
        parts: counts.map(({ clay, parts: n }) => ({ clay: clayName(clays, clay), parts: n })),
        before,
        after,
        tellsOf: clayName(clays, reason.clay),
        what: reason.what,
        sentence,
      })),
    };
  },
});

/** Tiles that the likeliest explanation names: a look costs less than a new tile. */
function tilesToLookAt({ explanations = [] }: KnownClays): NextTileAnswer['lookAt'] {
  const tiles = explanations[0]?.tiles ?? [];
  return tiles.map((tile) => ({ tile, sentence: `Read ${tile} again, and check its recipe.` }));
}

function paletteRecipe(clays: KnownClays, mix: MixAsked): WholeParts {
  const recipe = 'recipe' in mix ? mix.recipe : parseRecipe(mix.words);
  checkBasis(clays, mix.basis, recipe.length);
  return partsByIndex(clays, recipe);
}

function* recipesOfAims(
  clays: KnownClays,
  { aims, viewing }: NextTileQuestion,
  allowed: readonly number[],
): WorkSteps<WholeParts[]> {
  const found: WholeParts[] = [];
  for (const aim of aims) {
    const run = startSearch(clays.predictor, {
      aim: readAim(aim, viewing, clays).lab,
      weights: colourWeights(viewing.light, viewing.observer),
      clays: allowed,
      mostClays: Math.min(AIM.mostClays, allowed.length),
      parts: AIM.parts,
      top: AIM.top,
    });
    yield { what: 'trying recipes', run };
    found.push(...run.best().map(({ parts }) => parts));
  }
  return found;
}

/** Tiles of the palette's own clays, of whites and blacks, and its recipes as they stand. */
function paletteCandidates(
  { predictor }: KnownClays,
  palette: readonly WholeParts[],
  allowed: readonly number[],
  most: number,
): WholeParts[] {
  const { model } = predictor;
  const used = new Set(palette.flatMap((recipe) => recipe.map(({ clay }) => clay)));
  const helpful = allowed.filter(
    (clay) => used.has(clay) || ['white', 'black'].includes(classOf(model, clay)),
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
