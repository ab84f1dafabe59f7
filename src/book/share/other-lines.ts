import { clayKey } from '../../core/notation/clay-name.ts';
import { chanceInWords, HARDLY, verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { isOwned } from '../../domain/clay-of-block.ts';
import { newestModelOf } from '../../domain/newest-model.ts';
import { labOfReading } from '../../domain/records/lab-of-reading.ts';
import { byQuality } from '../../domain/records/shown-colour.ts';
import type { CardOther } from '../../domain/share/card-content.ts';
import type { Translated } from '../../verbs/translate.ts';
import type { Book } from '../book.ts';
import type { ClayAtHand } from '../clay-work.ts';
import { askedOfModel } from '../jobs/model-terms.ts';
import { bytesOf } from '../save-file.ts';
import { liveOf } from './chosen-mixes.ts';

/** Translates with a clay model, here or on another thread. */
export type TranslateWith = (clay: ClayAtHand, question: object) => Promise<readonly Translated[]>;

/** Lines on a card beside its own. */
const MOST_LINES = 3;

/**
 * The same colour from each other line of the author's, as the program finds it.
 * Shape:   a mix by its id, the lines it is of -> a line each, those with a recipe first; none where nothing was learned
 */
export async function otherLines(
  book: Book,
  mixId: string,
  own: ReadonlySet<string>,
  translateWith: TranslateWith,
): Promise<readonly CardOther[]> {
  const model = newestModelOf(await liveOf(book, 'clay-model'));
  if (model === undefined) return [];
  const blocks = new Map((await liveOf(book, 'block')).map((block) => [block.id, block]));
  const learned = new Set(model.body.clays.flatMap(({ blockId }) => blockId ?? []));
  const lines = (await liveOf(book, 'line'))
    .filter(
      ({ id, body }) =>
        !(own.size === 1 && own.has(body.name)) &&
        [...blocks.values()].some(
          (block) => block.body.lineId === id && isOwned(block) && learned.has(block.id),
        ),
    )
    .slice(0, MOST_LINES);
  if (lines.length === 0) return [];
  const clay = { title: model.body.name, bytes: await bytesOf(book, model) };
  const colours = await blockColours(book);
  const blockOf = new Map(
    model.body.clays.map(({ name, blockId }) => [clayKey(name), blocks.get(blockId ?? '')]),
  );
  const found: CardOther[] = [];
  for (const line of lines) {
    const question = await askedOfModel(book, model, 'translate', {
      wanted: [{ mixId }],
      ...{ rules: { lines: [line.body.name] } },
    });
    const [translated] = await translateWith(clay, question);
    const best = translated?.found;
    found.push({
      line: line.body.name,
      says: best === undefined ? 'cannot make it' : saysOf(best),
      parts:
        best === undefined || best.chance < HARDLY
          ? []
          : best.recipe.map(({ clay: name, parts }) => {
              const block = blockOf.get(clayKey(name));
              const lab = block === undefined ? undefined : colours.get(block.id);
              return {
                name: block?.body.name ?? name,
                parts,
                ...(lab === undefined ? {} : { lab }),
              };
            }),
    });
  }
  return found.toSorted(
    (one, other) => Number(other.parts.length > 0) - Number(one.parts.length > 0),
  );
}

function saysOf({ verdict, chance }: NonNullable<Translated['found']>): string {
  if (chance < HARDLY) return 'comes close, no match';
  return `${verdictHead('match').toLowerCase()}, ${chanceInWords(chance)}${verdict.word === 'different' ? ', unsure' : ''}`;
}

async function blockColours(book: Book) {
  const tiles = new Map(
    (await liveOf(book, 'tile')).flatMap(({ id, body: { of } }) =>
      'id' in of ? [[id, of.id] as const] : [],
    ),
  );
  const colours = new Map<string, readonly [number, number, number]>();
  for (const { body } of (await liveOf(book, 'reading')).toSorted(byQuality)) {
    const of = tiles.get(body.of.id) ?? body.of.id;
    const lab = labOfReading(body);
    if (lab !== undefined && !colours.has(of)) colours.set(of, lab);
  }
  return colours;
}
