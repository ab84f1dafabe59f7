import { AppError } from '../../core/errors.ts';
import type { StockRow } from '../../core/find/known-clays.ts';
import { clayKey, formatRecipe, parseRecipe } from '../../core/notation/notation.ts';
import { clayNames } from '../../domain/clay-names.ts';
import {
  coloursOfFigure,
  idsOfFigure,
  needsOfFigure,
  questionOfFigure,
  stockOfFigure,
} from '../../domain/figure-question.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { isColour } from '../../verbs/aim.ts';
import { type ShapeAsked, shapeAskedOf } from '../../verbs/figure-question.ts';
import type { AimAsked } from '../../verbs/question-parts.ts';
import { allRecords } from '../all-records.ts';
import type { Book } from '../book.ts';
import { bookServiceOf } from '../book-service.ts';
import { findRecord } from '../find-record.ts';

/** What a question about a figure may say in the words of a book. */
export interface FigureInWords {
  /** A figure of the book, by its name or code. */
  readonly figure?: string;
  readonly shapes?: readonly (string | ShapeAsked)[];
}

/** What the book knows of a name in a recipe: a block or a mix. */
type PartOf = (name: string) => Promise<{ readonly kind: 'block' | 'mix'; readonly id: string }>;

/** How the words of a book are read for a clay model. */
interface WordsRead {
  /** The clay model knows this name itself. */
  readonly isClay: (name: string) => boolean;
  readonly partOf: PartOf;
  /** Where the question has none of its own. */
  readonly stock: readonly StockRow[];
}

/**
 * A question about a figure with the shapes of its plan, its mixes as colours by their recipes, and its stock.
 * Refuses: a figure that is not in the book -> not-in-book; as `partOf` does
 */
export async function figureInTerms<Q extends FigureInWords>(
  book: Book,
  model: RecordOf<'clay-model'>,
  question: Q,
  words: WordsRead,
): Promise<object> {
  const { figure: _, shapes: __, ...rest } = question;
  const { planned, named, written, stock } = await figureRead(book, model, question, words);
  const { shapes, colours, mixed, ...terms } = questionOfFigure(planned, named);
  return { ...terms, ...rest, shapes: [...shapes, ...written], colours, mixed, stock };
}

/** A question for the colours of a figure, with what the figure needs. Refuses: as `figureInTerms` */
export async function planInTerms(
  book: Book,
  model: RecordOf<'clay-model'>,
  { plan, ...question }: QuestionOfPlan,
  words: WordsRead,
): Promise<object> {
  if (plan === undefined) return { stock: words.stock, ...question };
  const { figure: _, shapes: __, ...rest } = plan;
  const asked = { ...plan, ...question };
  const { planned, named, written, stock } = await figureRead(book, model, asked, words);
  const { shapes, colours, mixed, ...terms } = needsOfFigure(planned, named);
  const needs = { ...terms, ...rest, shapes: [...shapes, ...written], colours, mixed };
  return { ...question, plan: needs, stock };
}

/** A question for colours, also those of a figure. */
interface QuestionOfPlan {
  readonly aims?: readonly AimAsked[];
  readonly plan?: FigureInWords;
  readonly stock?: readonly StockRow[];
}

/** A figure of the book and shapes in its words, under the names that a question has. */
async function figureRead(
  book: Book,
  model: RecordOf<'clay-model'>,
  { figure, shapes = [], stock }: FigureInWords & { readonly stock?: readonly StockRow[] },
  words: WordsRead,
) {
  const { store } = book.ports;
  const blocks = new Map(
    ofKind(await allRecords(store, 'block'), 'block').map((block) => [block.id, block]),
  );
  const lines = new Map(
    ofKind(await allRecords(store, 'line'), 'line').map((line) => [line.id, line]),
  );
  const mixes = new Map<string, BookRecord>(
    (await allRecords(store, 'mix')).map((mix) => [mix.id, mix]),
  );
  const learned = new Map(
    model.body.clays.flatMap(({ name, blockId }) =>
      blockId === undefined ? [] : [[blockId, name] as const],
    ),
  );
  const names = clayNames(blocks.values(), lines);
  const blockName = (id: string) => learned.get(id) ?? names.get(id) ?? id;
  const planned =
    figure === undefined
      ? { batches: [] }
      : (await findRecord(bookServiceOf(book), figure, ['figure'])).body;
  const { isClay, partOf } = words;
  const written = await Promise.all(shapes.map((shape) => termsOf(shape, isClay, partOf)));
  const ids = [
    ...idsOfFigure(planned),
    ...written.flatMap(({ terms }) => terms.map(({ id }) => id)),
  ];
  const named = coloursOfFigure(ids, mixes, blockName);
  const used = [...named.blockIds].flatMap((id) => blocks.get(id) ?? []);
  return {
    planned,
    named,
    written: written.map(({ renamed }) => renamed(named.nameOf)),
    stock: stockOfFigure(stock ?? words.stock, used, lines, named.nameOf),
  };
}

interface Written {
  readonly terms: readonly { readonly id: string }[];
  /** The shape with the names that its colours have in the question. */
  readonly renamed: (nameOf: (id: string) => string) => string | ShapeAsked;
}

async function termsOf(
  shape: string | ShapeAsked,
  isClay: (name: string) => boolean,
  partOf: PartOf,
): Promise<Written> {
  const asked = readable(shape);
  // What is no shape with a colour is left out by the question itself, in its own words.
  if (asked === undefined) return { terms: [], renamed: () => shape };
  const colour = await coloursIn(asked.colour, isClay, partOf);
  // A paint may be any colour; only a mix of the book is renamed.
  const paint =
    asked.paint === undefined || isColour(asked.paint)
      ? undefined
      : await coloursIn(asked.paint, isClay, partOf);
  return {
    terms: [...colour.terms, ...(paint?.terms ?? [])],
    renamed: (nameOf) => ({
      ...asked,
      colour: colour.renamed(nameOf),
      ...(paint === undefined ? {} : { paint: paint.renamed(nameOf) }),
    }),
  };
}

function readable(shape: string | ShapeAsked): ShapeAsked | undefined {
  try {
    return shapeAskedOf(shape);
  } catch (fault) {
    if (fault instanceof AppError && fault.kind === 'bad-input') return undefined;
    throw fault;
  }
}

/** The blocks and mixes in the words of a colour. */
async function coloursIn(words: string, isClay: (name: string) => boolean, partOf: PartOf) {
  const recipe = parseRecipe(words);
  const ids = new Map<string, string>();
  for (const { clay } of recipe) {
    if (!isClay(clay)) ids.set(clayKey(clay), (await partOf(clay)).id);
  }
  return {
    terms: [...ids.values()].map((id) => ({ id })),
    renamed(nameOf: (id: string) => string): string {
      if (ids.size === 0) return words;
      const names = recipe.map(({ clay, parts }) => {
        const id = ids.get(clayKey(clay));
        return { clay: id === undefined ? clay : nameOf(id), parts };
      });
      const [only, ...others] = names;
      return others.length === 0 && only !== undefined ? only.clay : formatRecipe(names);
    },
  };
}

/** A question with the colours of a palette of the book behind its own. Refuses: no such palette -> not-in-book */
export async function withPalette(
  book: Book,
  { palette, ...question }: QuestionOfPalette,
): Promise<Omit<QuestionOfPalette, 'palette'>> {
  if (palette === undefined) return question;
  const { body } = await findRecord(bookServiceOf(book), palette, ['palette']);
  const own = question.aims ?? [];
  const called = [
    ...own.map((aim) =>
      typeof aim === 'string' ? aim : 'words' in aim ? aim.words : aim.join(','),
    ),
    ...body.aims.map(({ name, lab }) => name ?? lab.join(',')),
  ];
  return { ...question, aims: [...own, ...body.aims.map(({ lab }) => lab)], called };
}

/** A question that may name a palette. */
interface QuestionOfPalette {
  readonly palette?: string;
  readonly aims?: readonly AimAsked[];
  readonly called?: readonly string[];
}
