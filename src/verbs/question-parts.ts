import { z } from 'zod';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { parseRecipe } from '../core/notation/notation.ts';
import { RECIPE_LIMITS, type Recipe } from '../core/notation/terms.ts';
import { MOST_CLAYS_TOGETHER } from '../core/piles/recipe-walk.ts';
import { namedPowder } from '../domain/powders.ts';
import { lab } from '../domain/records/pieces.ts';
import { LIGHTS, OBSERVERS } from '../domain/records/reading.ts';
import { SPREAD_OF_MEASURED } from '../domain/records/reading-kind.ts';
import { words } from './verb.ts';

export const viewingFields = {
  light: z
    .enum(LIGHTS)
    .default(HOUSE_VIEWING.light)
    .meta(
      words({
        option: 'light',
        value: 'NAME',
        reads: 'light',
        help: 'light that colours are given under',
      }),
    ),
  observer: z
    .literal(OBSERVERS)
    .default(HOUSE_VIEWING.observer)
    .meta(words({ option: 'observer', value: 'DEG', help: 'size of the colour seen, degrees' })),
};

/** Light and observer colours are given and answered under. */
export const viewingSchema = z.strictObject(viewingFields).readonly().meta({ id: 'Viewing' });

export const viewing = viewingSchema.prefault({});

/** What the parts of a question count, where it says so itself. */
export const basis = z
  .enum(BASES)
  .exactOptional()
  .meta(
    words({
      option: 'basis',
      value: 'BASIS',
      help: 'what parts count; as the clays were learned when left out',
    }),
  );

/** Readings count parts by volume unless they say so; a model is learned one way. */
export const basisOfRows = z
  .enum(BASES)
  .default('volume')
  .meta(
    words({ option: 'basis', value: 'BASIS', help: 'what parts count where a row says nothing' }),
  );

const clayName = z.string().min(1).max(RECIPE_LIMITS.nameCharacters);

/** Names of clays or lines. */
export const names = z.array(clayName).min(1).max(200).readonly();

export const only = names
  .exactOptional()
  .meta(words({ option: 'only', value: '"A, B"', help: 'use these clays only' }));

/** Parts by the names of clays. */
export const recipeSchema = z
  .array(
    z
      .strictObject({
        clay: clayName,
        parts: z.number().min(RECIPE_LIMITS.fewestParts).max(RECIPE_LIMITS.mostParts),
      })
      .readonly(),
  )
  .min(1)
  .max(RECIPE_LIMITS.terms)
  .readonly();

/** A baked tile that was read, D50 and 2 degrees. */
export const tileRead = z.strictObject({
  /** Its code or name. */
  tile: z.string().max(1000).exactOptional(),
  recipe: recipeSchema,
  lab,
  /** Of the reading, an axis. */
  spread: z.number().min(0).max(100).default(SPREAD_OF_MEASURED),
});
export type TileRead = z.input<typeof tileRead>;

/** Where a value was written, put before what is said against it: `odd.csv, line 3: `. */
export const where = z.string().max(1000).exactOptional();

/** Powders worked into a mix. */
const powders = z.array(namedPowder).max(RECIPE_LIMITS.terms).readonly().exactOptional();

/** What the parts of a mix count, where the mix itself says so, and where it was written. */
const counted = { basis: z.enum(BASES).exactOptional(), where };

/** A mix asked for: in words, or read already. */
export const mixSchema = z.union([
  z.strictObject({ words: z.string().min(1).max(2000), ...counted }).readonly(),
  z
    .strictObject({
      recipe: recipeSchema,
      /** As it was written. */
      words: z.string().max(RECIPE_LIMITS.characters),
      /** Powders in the mix, which no prediction takes into account. */
      powders,
      ...counted,
    })
    .readonly(),
]);
export type MixAsked = z.output<typeof mixSchema>;

/** A mix that could not be brought down to clays, with the reason, and its colour where that is known. */
const unreadable = z.strictObject({
  words: z.string().min(1).max(2000),
  why: z.string(),
  /** D50, 2 degrees. */
  aim: lab.exactOptional(),
});

/** Mixes asked for one by one, in a file, or all of a book; `help` is that of the option for one. */
export const mixesAsked = (help: string) =>
  z
    .array(z.union([mixSchema, unreadable]))
    .min(1)
    .readonly()
    .exactOptional()
    .meta(
      words({
        option: 'of',
        value: 'RECIPE',
        example: '1 Kelp + 3 Foam',
        reads: 'mix',
        help,
        file: {
          option: 'from',
          holds: 'recipes',
          help: 'a CSV file with a column "of", and "basis" if wanted',
        },
      }),
    );
/** Most clays of a recipe where all recipes are looked at together. */
export const mostClaysTogether = z
  .int()
  .min(1)
  .max(MOST_CLAYS_TOGETHER)
  .default(MOST_CLAYS_TOGETHER)
  .meta(words({ option: 'clays', value: 'N', help: 'most different clays in one recipe' }));

/** The colours of a palette; only a question about a book may name one. */
export const paletteAsked = z
  .string()
  .min(1)
  .max(400)
  .exactOptional()
  .meta(
    words({
      option: 'palette',
      value: 'NAME',
      help: 'the colours of a palette of the book, by its name (with --book)',
    }),
  );

/** One of them. */
export type OneMixAsked = MixAsked | z.output<typeof unreadable>;

const recipeRead = { recipe: recipeSchema, words: z.string().min(1).max(2000) };

/** A recipe asked for: in words, or read already. */
export const recipeAsked = z.union([
  z.string().min(1).max(2000),
  z.strictObject(recipeRead).readonly(),
]);
export type RecipeAsked = z.output<typeof recipeAsked>;

/** Refuses: words that are no recipe -> recipe-unreadable */
export function askedRecipe(asked: RecipeAsked): Recipe {
  return typeof asked === 'string' ? parseRecipe(asked) : asked.recipe;
}

/**
 * The colour wanted: L, a, b under the viewing of the question; words (`#8a9b6c`, `5GY 6/4`, `60,-20,20`,
 * a clay of the model, a recipe); or a recipe whose predicted colour is wanted.
 */
export const aimSchema = z.union([
  lab,
  z.string().min(1).max(2000),
  z.strictObject({ ...recipeRead, powders }).readonly(),
]);
export type AimAsked = z.output<typeof aimSchema>;

/** Colours wanted, by themselves or those of a palette. */
export const wantedFields = {
  aims: z
    .array(aimSchema)
    .max(300)
    .readonly()
    .default([])
    .meta(
      words({
        option: 'aim',
        value: 'COLOUR',
        reads: 'colour',
        help: 'a colour you want, as in find',
      }),
    ),
  palette: paletteAsked,
  /** What the aims are called, in their order. */
  called: z.array(z.string().max(400)).max(300).readonly().exactOptional(),
};
