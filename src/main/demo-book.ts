import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { BookAccess } from '../book/book-access.ts';
import { readingsOfBook } from '../book/readings-of-book.ts';
import type { BookShell } from '../cli/book-shell.ts';
import type { Ports } from '../cli/ports.ts';
import { AppError } from '../core/errors.ts';
import { bytesFromClayFile } from '../domain/clay-file-codec.ts';
import { ownerOf } from '../store/folder-lock.ts';
import { learn, sourceFrom } from '../verbs/learn.ts';
import { asked } from '../verbs/verb.ts';
import { demoRecords } from './demo-records.ts';

/** Says that a folder was made here and may be taken away as a whole. */
const MARK = 'kneadwell-demo.json';

/** The invented studio, as a book of its own in a folder of its own. */
export function demoBook(books: BookAccess, ports: Ports): BookShell['demo'] {
  return {
    async make(folder) {
      // A folder that was begun and not ended is gone on with: nothing is taken or learned twice.
      if (existsSync(folder) && !existsSync(join(folder, MARK))) throw notADemo(folder);
      await books.makeFolder(folder);
      writeFileSync(join(folder, MARK), `${JSON.stringify({ madeWith: ports.madeWith })}\n`);
      const made = await books.throughService(folder, true, async (service) => {
        const { counts } = await service.counts();
        const there = counts.reduce((sum, { live }) => sum + live, 0);
        const learned = counts.some(({ kind, live }) => kind === 'clay-model' && live > 0);
        if (learned) return { made: false, records: there, learned: true };
        const records = await demoRecords();
        if (there === 0) {
          await service.importRecords({ records, files: [], what: 'The invented studio moved in' });
        }
        return { made: true, records: records.length + 1, learned: false };
      });
      if (!made.learned) {
        const { readings } = await books.lookAt(folder, readingsOfBook);
        const source = sourceFrom(
          'the book',
          readings.map(({ reading }) => reading),
        );
        const subject = { sources: [source], madeWith: ports.madeWith };
        const { answer } = await asked(learn.ask(subject, {}), ports);
        const learnedOn = books.today();
        const bytes = bytesFromClayFile(answer.file);
        const learned = { bytes, learnedOn, name: `Learned on ${learnedOn}` };
        await books.throughService(folder, false, (service) => service.saveLearned(learned));
      }
      return { folder, made: made.made, records: made.records };
    },
    async remove(folder) {
      if (!existsSync(folder)) return false;
      if (!existsSync(join(folder, MARK))) throw notADemo(folder);
      if (ownerOf(folder) !== undefined) {
        throw new AppError({
          code: 'folder-in-use',
          kind: 'conflict',
          detail: `The demo in ${folder} is open.`,
          hint: 'Close its server first.',
          retry: true,
        });
      }
      rmSync(folder, { recursive: true, force: true });
      return true;
    },
  };
}

function notADemo(folder: string): AppError {
  return new AppError({
    code: 'not-a-demo',
    kind: 'conflict',
    detail: `${folder} is there and is no demo; nothing in it was touched.`,
    hint: 'Name another place with --folder.',
  });
}
