import { broughtFiles } from '../book/incoming-files.ts';
import { keepLearnt } from '../book/save-clay-model.ts';
import { takeRecords } from '../book/import-records.ts';
import type { Handlers } from './handler.ts';
import type { ServerParts } from './dependencies.ts';

export function folderHandlers({
  book,
}: ServerParts): Handlers<'keepLearnt' | 'bringFile' | 'takeRecords'> {
  const brought = broughtFiles(book);
  return {
    async keepLearnt({ body, query }) {
      return { body: await keepLearnt(book, { bytes: body, ...query }) };
    },
    async bringFile({ body, query }) {
      return { body: { sha256: await brought.bring(body, query.ending) } };
    },
    async takeRecords({ body: { records, what, replace = false } }) {
      try {
        const call = { records, files: [], what, replace, by: 'command line' };
        const { changed, ...counts } = await takeRecords(book, call);
        return {
          body: { ...counts, ...(changed === undefined ? {} : { seq: changed.group.seq }) },
        };
      } finally {
        brought.release();
      }
    },
  };
}
