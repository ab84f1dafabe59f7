import type { Lab } from '../../core/colour/triples.ts';
import { AppError } from '../../core/errors.ts';
import { nearestNames } from '../../core/notation/nearest-name.ts';
import { clayKey, parseRecipe, type Recipe } from '../../core/notation/notation.ts';
import { vocabularyOf } from '../../core/notation/shorthand-vocabulary.ts';
import { clayInWords } from '../../domain/clay-in-words.ts';
import { titleOf } from '../../domain/index-fields.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { isColour } from '../../verbs/aim.ts';
import { isKindOfEnd } from '../../verbs/ladder.ts';
import {
  type AimAsked,
  askedRecipe,
  type MixAsked,
  type RecipeAsked,
} from '../../verbs/question-parts.ts';
import { pairsFrom, tilesFrom } from '../../verbs/read-files.ts';
import type { ClayVerbName } from '../../verbs/verbs.ts';
import { allRecords } from '../all-records.ts';
import type { Book } from '../book.ts';
import { bookServiceOf } from '../book-service.ts';
import { whichOne } from '../errors.ts';
import { findRecord } from '../find-record.ts';
import { wordsFrom } from '../import-notes.ts';
import { readingsOfBook } from '../readings-of-book.ts';
import { stockRows } from '../stock-rows.ts';
import { type FigureInWords, figureInTerms, planInTerms, withPalette } from './figure-terms.ts';
import { recipesWanted, type WantedMix } from './wanted-mix.ts';

type Model = RecordOf<'clay-model'>;
type Mix = WantedMix | MixAsked;
type Part = Extract<WantedMix, { parts: unknown }>['parts'][number];

/** What a question may say in the words of a book. */
export interface QuestionInWords {
  readonly aim?: AimAsked;
  readonly aims?: readonly AimAsked[];
  readonly looks?: AimAsked;
  readonly lump?: RecipeAsked;
  readonly clay?: RecipeAsked;
  readonly from?: RecipeAsked;
  readonly to?: RecipeAsked;
  readonly down?: readonly RecipeAsked[];
  readonly across?: readonly RecipeAsked[];
  readonly wanted?: readonly Mix[];
}

/** The same in the terms of a clay model alone. */
export interface ModelQuestion {
  readonly aim?: AimAsked;
  readonly aims?: readonly AimAsked[];
  readonly looks?: AimAsked;
  readonly lump?: RecipeAsked;
  readonly clay?: RecipeAsked;
  readonly from?: RecipeAsked;
  readonly to?: RecipeAsked;
  readonly down?: readonly RecipeAsked[];
  readonly across?: readonly RecipeAsked[];
  readonly wanted?: readonly MixAsked[];
}

/**
 * A question to a clay model, with blocks, mixes, codes and short names of the book as recipes of the
 * model's clays.
 * Refuses: a word that neither knows -> clay-unknown, with the closest; as `recipesWanted` does
 */
export async function inModelTerms<Q extends QuestionInWords>(
  book: Book,
  model: Model,
  question: Q,
): Promise<Omit<Q, keyof QuestionInWords> & ModelQuestion> {
  const words = wordsFor(book, model);
  const { aim, aims, looks, lump, clay, from, to, down, across, wanted, ...rest } = question;
  return {
    ...rest,
    ...(aim === undefined ? {} : { aim: await aimIn(words, aim) }),
    ...(aims === undefined
      ? {}
      : { aims: await Promise.all(aims.map((one) => aimIn(words, one))) }),
    ...(looks === undefined ? {} : { looks: await aimIn(words, looks) }),
    ...(lump === undefined ? {} : { lump: await lumpIn(words, lump) }),
    ...(clay === undefined ? {} : { clay: await lumpIn(words, clay) }),
    ...(from === undefined ? {} : { from: await lumpIn(words, from) }),
    ...(to === undefined ? {} : { to: await endIn(words, to) }),
    ...(down === undefined
      ? {}
      : { down: await Promise.all(down.map((one) => lumpIn(words, one))) }),
    ...(across === undefined
      ? {}
      : { across: await Promise.all(across.map((one) => lumpIn(words, one))) }),
    ...(wanted === undefined
      ? {}
      : { wanted: await Promise.all(wanted.map((one) => mixIn(words, one))) }),
  };
}

/** A question to a clay model of the book; a search knows its stock, where none is given. */
export async function askedOfModel(
  book: Book,
  model: Model,
  verb: ClayVerbName,
  question: QuestionInWords &
    FigureInWords & {
      readonly palette?: string;
      readonly plan?: FigureInWords;
      readonly state?: 'raw' | 'baked';
    },
): Promise<object> {
  const { wanted, ...rest } = question;
  if (verb === 'figure') {
    return figureInTerms(book, model, question, await figureWords(book, model));
  }
  if (OF_A_PALETTE.has(verb)) {
    const inTerms = await inModelTerms(book, model, await withPalette(book, question));
    return planInTerms(book, model, inTerms, await figureWords(book, model));
  }
  if (verb === 'next-tile') return inModelTerms(book, model, await withPalette(book, question));
  if (verb === 'buy-or-mix') {
    return {
      stock: await stockRows(book, model),
      goodEnough: await goodEnoughMixes(book, model),
      ...(await inModelTerms(book, model, question)),
    };
  }
  const { palette, ...plain } = rest;
  const asked =
    OF_EVERY_MIX.has(verb) && wanted === undefined
      ? {
          ...(await inModelTerms(book, model, plain)),
          wanted:
            palette === undefined
              ? await everyMix(book, model)
              : await mixesOfPalette(book, model, palette),
        }
      : await inModelTerms(book, model, question);
  return {
    ...(STOCKED.has(verb) ? { stock: await stockRows(book, model) } : {}),
    ...(verb === 'chart' ? { tiles: await bakedTiles(book, model) } : {}),
    ...(LOOKS_RAW.has(verb) && question.state === 'raw' ? { pairs: await rawAndBaked(book) } : {}),
    ...asked,
  };
}

/** What the words of a question about a figure are read by. */
async function figureWords(book: Book, model: Model) {
  const { isClay, partOf } = wordsFor(book, model);
  const stock = await stockRows(book, model);
  return { isClay, partOf: (name: string) => partOf(name, ''), stock };
}

/** Questions about colours wanted, which may be those of a palette. */
const OF_A_PALETTE: ReadonlySet<ClayVerbName> = new Set(['buying-list', 'compare-lines', 'widen']);

/** Questions about all mixes of the book, where none is named. */
const OF_EVERY_MIX: ReadonlySet<ClayVerbName> = new Set(['translate', 'new-lot']);

/** Questions that know the stock of the book. */
const STOCKED: ReadonlySet<ClayVerbName> = new Set([
  'find',
  'chart',
  'translate',
  'twins',
  'new-lot',
]);

/** Questions about clay that may be looked at raw. */
const LOOKS_RAW: ReadonlySet<ClayVerbName> = new Set(['mend', 'new-lot']);

/** Tiles of a book that were read raw and baked, of whatever clays. */
async function rawAndBaked(book: Book) {
  const { readings } = await readingsOfBook(book);
  return pairsFrom(readings.map(({ reading }) => reading));
}

/** The baked tiles of a book, as a chart shows them. */
async function bakedTiles(book: Book, model: Model) {
  const { readings } = await readingsOfBook(book, model.body.basis);
  return tilesFrom(readings.map(({ reading }) => reading));
}

/** Mixes saved as good enough for a block, as recipes of the model's clays. */
async function goodEnoughMixes(book: Book, model: Model) {
  const names = new Map(
    model.body.clays.flatMap(({ name, blockId }) =>
      blockId === undefined ? [] : [[blockId, name] as const],
    ),
  );
  const found: { clay: string; recipe: Recipe }[] = [];
  for (const mix of await allRecords(book.ports.store, 'mix')) {
    if (mix.kind !== 'mix' || mix.deletedAt !== undefined) continue;
    const clay = names.get(mix.body.standsForId ?? '');
    if (clay === undefined) continue;
    try {
      const [{ of }] = await recipesWanted(book, model, [{ mixId: mix.id }]);
      found.push({ clay, recipe: of });
    } catch (fault) {
      // A mix with a clay that the model does not know cannot count.
      if (!(fault instanceof AppError && fault.kind === 'bad-input')) throw fault;
    }
  }
  return found;
}

/** Every mix of a book by its code and name, as a recipe of the model's clays or with what stands against one. */
async function everyMix(book: Book, model: Model) {
  const records = await allRecords(book.ports.store, 'mix');
  const mixes = records.flatMap((record) =>
    record.kind === 'mix' && record.deletedAt === undefined ? [record] : [],
  );
  return Promise.all(
    mixes.map(({ id, body: { code, name } }) =>
      mixToAsk(book, model, id, [code, name].filter((word) => word !== undefined).join(' ')),
    ),
  );
}

/** The colours of a palette: the mix that a colour has, else the colour alone. Refuses: no such palette */
async function mixesOfPalette(book: Book, model: Model, palette: string) {
  const { body } = await findRecord(bookServiceOf(book), palette, ['palette']);
  const mixes = await book.ports.store.getMany(body.aims.flatMap(({ mixId }) => mixId ?? []));
  return Promise.all(
    body.aims.map(({ name, lab, mixId }) => {
      const words = name ?? lab.join(',');
      return mixId !== undefined && mixes.get(mixId)?.deletedAt === undefined && mixes.has(mixId)
        ? mixToAsk(book, model, mixId, words)
        : { words, why: 'This colour has no recipe yet.', aim: lab };
    }),
  );
}

async function mixToAsk(book: Book, model: Model, mixId: string, words: string) {
  try {
    const [{ of, basis }] = await recipesWanted(book, model, [{ mixId }]);
    return { recipe: of, words, ...(basis === undefined ? {} : { basis }) };
  } catch (fault) {
    if (!(fault instanceof AppError) || fault.kind !== 'bad-input') throw fault;
    const aim = await colourOf(book, mixId);
    return { words, why: fault.detail, ...(aim === undefined ? {} : { aim }) };
  }
}

/** The colour shown of a mix, for one whose clays the model does not know. */
async function colourOf(book: Book, id: string): Promise<Lab | undefined> {
  await book.index.current();
  const number = book.index.table.numberOf(id);
  return number === undefined ? undefined : book.index.shown.of(number)?.lab;
}

interface Words {
  /** The clay model knows this name itself. */
  readonly isClay: (name: string) => boolean;
  readonly resolve: (wanted: WantedMix) => Promise<MixAsked>;
  /** A clay, block or mix by any of its names. */
  readonly partOf: (name: string, where: string) => Promise<Part['of']>;
  readonly basis: Model['body']['basis'];
}

async function aimIn(words: Words, aim: AimAsked): Promise<AimAsked> {
  if (typeof aim !== 'string' || isColour(aim) || words.isClay(aim)) return aim;
  const recipe = recipeIn(aim);
  // What is neither a colour nor a recipe is refused by the question itself, in its own words.
  if (recipe === undefined) return aim;
  const mix = await termsIn(words, { words: aim }, recipe);
  if (!('recipe' in mix)) return aim;
  const { powders = [] } = mix;
  return { recipe: mix.recipe, words: aim, ...(powders.length === 0 ? {} : { powders }) };
}

async function lumpIn(words: Words, lump: RecipeAsked): Promise<RecipeAsked> {
  const written = typeof lump === 'string' ? lump : lump.words;
  const mix = await termsIn(words, { words: written }, recipeNamed(lump));
  return 'recipe' in mix ? { recipe: mix.recipe, words: written } : lump;
}

/** The end of a ladder may name a kind of clay, which the verb knows. */
async function endIn(words: Words, end: RecipeAsked): Promise<RecipeAsked> {
  return isKindOfEnd(end) ? end : lumpIn(words, end);
}

async function mixIn(words: Words, mix: Mix): Promise<MixAsked> {
  if ('mixId' in mix || 'parts' in mix) return words.resolve(mix);
  return termsIn(words, mix, 'recipe' in mix ? mix.recipe : recipeNamed(mix.words));
}

/** A mix whose clays the model knows stays as it is; else every term is looked for in the book. */
async function termsIn(words: Words, mix: MixAsked, recipe: Recipe): Promise<MixAsked> {
  if (recipe.every(({ clay }) => words.isClay(clay))) return mix;
  const { where = '' } = mix;
  const parts = await Promise.all(
    recipe.map(async ({ clay, parts }) => ({ of: await words.partOf(clay, where), parts })),
  );
  const found = await words.resolve({ parts, basis: mix.basis ?? words.basis });
  return { ...found, ...mix, ...('recipe' in found ? { recipe: found.recipe } : {}) };
}

function wordsFor(book: Book, model: Model): Words {
  const { clays, basis } = model.body;
  const ofModel = new Map(clays.map((clay) => [clayKey(clay.name), clay]));
  const read = async () => {
    const found = await wordsFrom(bookServiceOf(book));
    return { ...found, vocabulary: vocabularyOf(found.words) };
  };
  let reading: ReturnType<typeof read> | undefined;
  const wordsRead = () => {
    reading ??= read();
    return reading;
  };
  return {
    basis,
    isClay: (name) => ofModel.has(clayKey(name)),
    async resolve(wanted) {
      const [{ of, written, basis: counted, powders }] = await recipesWanted(book, model, [wanted]);
      return {
        recipe: of,
        words: written,
        ...(counted === undefined ? {} : { basis: counted }),
        ...(powders.length === 0 ? {} : { powders }),
      };
    },
    async partOf(name, where) {
      const blockId = ofModel.get(clayKey(name))?.blockId;
      if (blockId !== undefined) return { kind: 'block', id: blockId };
      const { words, kindOf, vocabulary } = await wordsRead();
      const meant = clayInWords(name, vocabulary);
      if (meant.status === 'which-one') throw whichOne(`${where}${meant.says}`, meant.ids);
      if (meant.status === 'found') {
        return { kind: kindOf.get(meant.id) === 'block' ? 'block' : 'mix', id: meant.id };
      }
      const { shortNames, codes = [], names = [] } = words;
      const all = [...shortNames, ...codes, ...names].map(({ word }) => word);
      throw unknown(name, where, model, [...clays.map((clay) => clay.name), ...all]);
    },
  };
}

/** As `askedRecipe`, but a number alone, which is no recipe, is the code of a mix or block. */
function recipeNamed(asked: RecipeAsked): Recipe {
  const isCode = typeof asked === 'string' && /^\d+$/.test(asked.trim());
  return isCode ? [{ clay: asked.trim(), parts: 1 }] : askedRecipe(asked);
}

function recipeIn(words: string): Recipe | undefined {
  try {
    return parseRecipe(words);
  } catch (fault) {
    if (fault instanceof AppError) return undefined;
    throw fault;
  }
}

function unknown(name: string, where: string, model: Model, known: readonly string[]): AppError {
  const close = [...new Set(nearestNames(name, known))];
  return new AppError({
    code: 'clay-unknown',
    kind: 'bad-input',
    detail: `${where}"${name.slice(0, 80)}" is no clay of ${titleOf(model)} and no block or mix of the book.`,
    hint:
      close.length > 0
        ? `Did you mean ${close.join(' or ')}?`
        : 'Name a clay, a block, or a mix by its code or name.',
  });
}
