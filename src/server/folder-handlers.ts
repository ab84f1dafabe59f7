import { importRecords } from '../book/import-records.ts';
import { broughtFiles } from '../book/incoming-files.ts';
import { saveLearned } from '../book/save-clay-model.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { Handlers } from './handler.ts';

export function folderHandlers({
  book,
}: ServerDependencies): Handlers<'saveLearned' | 'bringFile' | 'importRecords'> {
  const brought = broughtFiles(book);
  return {
    async saveLearned({ body, query }) {
      return { body: await saveLearned(book, { bytes: body, ...query }) };
    },
    async bringFile({ body, query }) {
      return { body: { sha256: await brought.bring(body, query.ending) } };
    },
    async importRecords({ body: { records, what, replace = false } }) {
      try {
        const call = { records, files: [], what, replace, by: 'command line' };
        const { changed, ...counts } = await importRecords(book, call);
        return {
          body: { ...counts, ...(changed === undefined ? {} : { seq: changed.group.seq }) },
        };
      } finally {
        brought.release();
      }
    },
  };
}
