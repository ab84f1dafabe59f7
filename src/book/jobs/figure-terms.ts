import { clayKey, formatRecipe, parseRecipe } from '../../core/notation/notation.ts';
import { clayNames } from '../../domain/clay-names.ts';
import { coloursOfFigure, shapesInWords, termsOfPlan } from '../../domain/figure-question.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { AimAsked } from '../../verbs/question-parts.ts';
import { allRecords } from '../all-records.ts';
import type { Book } from '../book.ts';
import { bookServiceOf } from '../book-service.ts';
import { findRecord } from '../find-record.ts';

/** What a question about a figure may say in the words of a book. */
export interface FigureInWords {
  /** A figure of the book, by its name or code. */
  readonly figure?: string;
  readonly shapes?: readonly (string | { readonly colour: string })[];
}

/** What the book knows of a name in a recipe: a block or a mix. */
type PartOf = (name: string) => Promise<{ readonly kind: 'block' | 'mix'; readonly id: string }>;

/** The end of "240 leaf 20 x 6 x 1 mm of Kelp". */
const COLOUR_OF = /^(.*\sof\s+)(.+?)\s*$/is;

/**
 * A question about a figure with the shapes of its plan, and its mixes as colours by their recipes.
 * Refuses: a figure that is not in the book -> not-in-book; as `partOf` does
 */
export async function figureInTerms<Q extends FigureInWords>(
  book: Book,
  model: RecordOf<'clay-model'>,
  question: Q,
  { isClay, partOf }: { readonly isClay: (name: string) => boolean; readonly partOf: PartOf },
): Promise<object> {
  const { figure, shapes = [], ...rest } = question;
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
  const plan =
    figure === undefined
      ? undefined
      : (await findRecord(bookServiceOf(book), figure, ['figure'])).body.plan;
  const written = await Promise.all(shapes.map((shape) => termsOf(shape, isClay, partOf)));
  const ids = [
    ...(plan?.shapes ?? []).flatMap(({ of }) => of?.id ?? []),
    ...written.flatMap(({ terms }) => terms.map(({ id }) => id)),
  ];
  const { colours, nameOf } = coloursOfFigure(ids, mixes, blockName);
  return {
    ...(plan === undefined ? {} : termsOfPlan(plan)),
    ...rest,
    shapes: [
      ...(plan === undefined ? [] : shapesInWords(plan, nameOf).shapes),
      ...written.map(({ renamed }) => renamed(nameOf)),
    ],
    colours,
  };
}

interface Written {
  readonly terms: readonly { readonly id: string }[];
  /** The shape with the names that its colours have in the question. */
  readonly renamed: (nameOf: (id: string) => string) => string | { readonly colour: string };
}

async function termsOf(
  shape: string | { readonly colour: string },
  isClay: (name: string) => boolean,
  partOf: PartOf,
): Promise<Written> {
  const [, before = '', colour = ''] =
    typeof shape === 'string' ? (COLOUR_OF.exec(shape) ?? []) : ['', '', shape.colour];
  // What is no shape with a colour is left out by the question itself, in its own words.
  if (colour === '') return { terms: [], renamed: () => shape };
  const recipe = parseRecipe(colour);
  if (recipe.every(({ clay }) => isClay(clay))) return { terms: [], renamed: () => shape };
  const ids = new Map<string, string>();
  for (const { clay } of recipe) {
    if (!isClay(clay)) ids.set(clayKey(clay), (await partOf(clay)).id);
  }
  return {
    terms: [...ids.values()].map((id) => ({ id })),
    renamed(nameOf) {
      const names = recipe.map(({ clay, parts }) => {
        const id = ids.get(clayKey(clay));
        return { clay: id === undefined ? clay : nameOf(id), parts };
      });
      const [only, ...others] = names;
      const said = others.length === 0 && only !== undefined ? only.clay : formatRecipe(names);
      return typeof shape === 'string' ? `${before}${said}` : { ...shape, colour: said };
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
