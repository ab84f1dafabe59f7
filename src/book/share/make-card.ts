import { AppError } from '../../core/errors.ts';
import { type CardSize, cardDrawing } from '../../domain/drawing/card-drawing.ts';
import { cardPage, type PageSize } from '../../domain/drawing/card-page.ts';
import { cardContent } from '../../domain/share/card-content.ts';
import { payloadOfMix } from '../../domain/share/recipe-payload.ts';
import { type ShareChoice, shareChoice } from '../../domain/share/share-choice.ts';
import type { Book } from '../book.ts';
import { chosenMixes } from './chosen-mixes.ts';
import type { Drawer } from './drawer.ts';
import { gatherShare, shareSource } from './gather-share.ts';
import { otherLines, type TranslateWith } from './other-lines.ts';

/** What a card is made of, and how it should look. */
export interface CardCall {
  readonly choice: Pick<ShareChoice, 'author' | 'link' | 'words' | 'licence' | 'mixes'>;
  readonly as: 'png' | 'svg' | 'pdf';
  readonly size: CardSize;
  readonly paper: PageSize;
  /** With the same colour from the author's other lines. */
  readonly others: boolean;
}

/** A card that was made, with a name for its file. */
export interface MadeCard {
  readonly title: string;
  readonly bytes: Uint8Array;
}

/** Most mixes whose cards say the same colour from other lines: each of these is searched for. */
const MOST_WITH_OTHERS = 12;
/** Most cards made at once: a PDF is drawn in one go. */
const MOST_CARDS = 200;

/**
 * Recipe cards of some mixes: a picture each, or all as pages of one PDF. `most` leaves out what nobody takes.
 * Refuses: as `gatherShare` does; too many mixes -> too-much-to-share (bad-input)
 * Holds:   a card says only what a share file of the mix says, and the same recipe from own lines
 */
export async function makeCards(
  book: Book,
  { choice, as, size, paper, others }: CardCall,
  madeWith: string,
  drawer: Drawer,
  translateWith: TranslateWith,
  most = Number.POSITIVE_INFINITY,
): Promise<readonly MadeCard[]> {
  const mixes = (await chosenMixes(book, choice.mixes)).mixes.slice(0, most);
  if (mixes.length > MOST_CARDS) throw tooManyCards();
  const source = await shareSource(book);
  const contents = [];
  for (const { id } of mixes) {
    const file = await gatherShare(
      book,
      shareChoice.parse({ ...choice, mixes: { mixIds: [id] }, clays: 'none' }),
      madeWith,
      { source },
    );
    if (file.mixes.length === 0) continue;
    const own = new Set(file.lines.map(({ name }) => name));
    const lines =
      others && mixes.length <= MOST_WITH_OTHERS
        ? await otherLines(book, id, own, translateWith)
        : [];
    contents.push({ content: cardContent(file, 0, lines), payload: payloadOfMix(file, 0) });
  }
  if (as === 'pdf') {
    const pages = contents.map(({ content, payload }) =>
      cardPage(content, paper, drawer, drawer.qr(payload)),
    );
    const title = contents.length === 1 ? contents[0].content.title : 'Recipe cards';
    return [{ title, bytes: await drawer.pdf(pages, title) }];
  }
  const made: MadeCard[] = [];
  for (const { content, payload } of contents) {
    const drawing = cardDrawing(content, size, drawer, drawer.qr(payload));
    const bytes =
      as === 'png' ? await drawer.png(drawing) : new TextEncoder().encode(drawer.svg(drawing));
    made.push({ title: content.title, bytes });
  }
  return made;
}

function tooManyCards(): AppError {
  return new AppError({
    code: 'too-much-to-share',
    kind: 'bad-input',
    detail: `At most ${MOST_CARDS} cards are made at once.`,
    hint: 'Choose fewer mixes, for example a palette.',
  });
}

/** A title as the name of a file. */
export function fileNameOf(title: string): string {
  const plain = title
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return plain === '' ? 'recipe' : plain.slice(0, 60);
}
