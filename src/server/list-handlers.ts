import { isListedEarly } from '../book/lists/early-list.ts';
import { mixList } from '../book/lists/mix-list.ts';
import { coloursOf, samplesOf } from '../book/lists/samples.ts';
import { tagsOfMixes } from '../book/lists/tags-of-mixes.ts';
import { tileList } from '../book/lists/tile-list.ts';
import { wordsInText } from '../book/words-in-text.ts';
import type { ServerDependencies } from './dependencies.ts';
import { bookRead, type Etags } from './etag.ts';
import type { Handlers } from './handler.ts';

type SheetName = 'mixList' | 'tileList' | 'tagsOfMixes' | 'colours' | 'samples' | 'wordsInText';

export function listHandlers({ book }: ServerDependencies, fresh: Etags): Handlers<SheetName> {
  return {
    // A closed list is opened again even when the book is unchanged, so the answer carries no tag.
    async mixList({ query: { l, a, b, within, descending = false, ...rest } }) {
      const near =
        l === undefined || a === undefined || b === undefined
          ? {}
          : { near: { lab: [l, a, b] as const, within } };
      const call = { ...rest, ...near, descending };
      if (!(await isListedEarly(book, call))) await bookRead(book);
      return { body: await mixList(book, call) };
    },
    async tileList({ query }) {
      await bookRead(book);
      return { body: await tileList(book, query) };
    },
    tagsOfMixes: ({ query }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        return { tags: await tagsOfMixes(book, query.limit) };
      }),
    colours: ({ query }, asked) =>
      fresh(asked, async () => {
        await bookRead(book);
        return coloursOf(book, query.of);
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
