import { mixSheet } from '../app/book/sheets/mix-sheet.ts';
import { coloursOf, samplesOf } from '../app/book/sheets/samples.ts';
import { tagsOfMixes } from '../app/book/sheets/tags-of-mixes.ts';
import { tileSheet } from '../app/book/sheets/tile-sheet.ts';
import { wordsInText } from '../app/book/words-in-text.ts';
import { bookRead, type Fresh } from './fresh.ts';
import type { Handlers } from './handler.ts';
import type { ServerParts } from './parts.ts';

type SheetName = 'mixSheet' | 'tileSheet' | 'tagsOfMixes' | 'colours' | 'samples' | 'wordsInText';

export function sheetHandlers({ book }: ServerParts, fresh: Fresh): Handlers<SheetName> {
  return {
    // A sheet that was laid away is opened anew in an unchanged book too, so it carries no tag.
    async mixSheet({ query: { l, a, b, within, descending = false, ...rest } }) {
      await bookRead(book);
      const near =
        l === undefined || a === undefined || b === undefined
          ? {}
          : { near: { lab: [l, a, b] as const, within } };
      return { body: await mixSheet(book, { ...rest, ...near, descending }) };
    },
    async tileSheet({ query }) {
      await bookRead(book);
      return { body: await tileSheet(book, query) };
    },
    tagsOfMixes: ({ query }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        return { tags: await tagsOfMixes(book, query.limit) };
      }),
    colours: ({ query }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        return { colours: await coloursOf(book, query.of) };
      }),
    samples: ({ params }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        return samplesOf(book, params.id);
      }),
    async wordsInText({ body }) {
      await bookRead(book);
      return { body: { mixes: await wordsInText(book, body.text) } };
    },
  };
}
