import { changesOf } from '../book/book-history.ts';
import { changeBook } from '../book/change-book.ts';
import { redoInBook, undoInBook } from '../book/undo-change.ts';
import type { BookChange } from '../domain/records/change.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { HandledRequest, Handlers } from './handler.ts';
import { plainFault } from './problem-answers.ts';

export function changeHandlers({
  book,
}: ServerDependencies): Handlers<'listChanges' | 'makeChange' | 'getChange' | 'undo' | 'redo'> {
  const { store } = book.ports;
  const turned = (seq: number | undefined, { by }: HandledRequest) => ({
    ...(seq === undefined ? {} : { seq }),
    ...(by === undefined ? {} : { by }),
  });
  return {
    async listChanges({ query: { before, limit } }) {
      const page = { limit, ...(before === undefined ? {} : { before }) };
      return { body: { changes: await changesOf(book, page) } };
    },
    async makeChange({ body }, { by, key }) {
      const change = {
        ...body,
        ...(by === undefined ? {} : { by }),
        ...(key === undefined ? {} : { key }),
      } as BookChange;
      return { body: await changeBook(book, change) };
    },
    async getChange({ params: { seq } }) {
      const group = await store.group(seq);
      if (group === undefined) throw noSuchChange(seq);
      return { body: { group, entries: await store.entries(seq) } };
    },
    async undo({ body }, asked) {
      return { body: await undoInBook(book, turned(body.seq, asked)) };
    },
    async redo({ body }, asked) {
      return { body: await redoInBook(book, turned(body.seq, asked)) };
    },
  };
}

function noSuchChange(seq: number) {
  return plainFault(
    'no-such-change',
    'not-found',
    `There is no change ${seq}.`,
    'The history lists the changes with their numbers.',
  );
}
