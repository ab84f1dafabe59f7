import { createReadStream } from 'node:fs';
import { clearDemoOut, demoState, moveDemoIn } from '../book/demo-studio.ts';
import { exportBook } from '../book/export-book.ts';
import { nameIn, noSuchBackup } from '../book/restore-service.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { Handlers } from './handler.ts';
import { plainFault } from './problem-answers.ts';
import { FILE_HEADERS } from './security-headers.ts';

export function backupHandlers({
  book,
  exports,
  folder,
  backups,
  restores,
}: ServerDependencies): Handlers<
  | 'listBackups'
  | 'backupBytes'
  | 'lookAtBackup'
  | 'offerBackup'
  | 'restoreBook'
  | 'dropRestore'
  | 'exportBook'
> {
  return {
    async exportBook({ query: { as, kind } }, { reply }) {
      if (as === 'csv' && kind === undefined) throw whichKind();
      const name = as === 'json' ? 'book.json' : `${kind}.csv`;
      let body: Uint8Array = new Uint8Array();
      const call = { as, files: false, ...(kind === undefined ? {} : { kind }) };
      await exportBook(book, call, exports, async ({ bytes }) => {
        body = bytes;
      });
      reply
        .headers(FILE_HEADERS)
        .type(as === 'json' ? 'application/json; charset=utf-8' : 'text/csv; charset=utf-8')
        .header('content-disposition', `attachment; filename="kneadwell-${name}"`);
      return { body };
    },
    async listBackups() {
      const restored = restores.last();
      const newestFirst = (await backups.list()).toReversed();
      return {
        body: {
          folder,
          backups: newestFirst.map(({ path, ...backup }) => ({ name: nameIn(path), ...backup })),
          ...(restored === undefined ? {} : { restored }),
        },
      };
    },
    async backupBytes({ params: { name } }, { reply }) {
      // Only backups in the backup folder, by their name there.
      const found = (await backups.list()).find(({ path }) => nameIn(path) === name);
      if (found === undefined) throw noSuchBackup(name);
      reply
        .headers(FILE_HEADERS)
        .header('content-length', found.bytes)
        .header('content-disposition', `attachment; filename="${name}"`)
        .type('application/zip')
        .send(createReadStream(found.path));
      return undefined;
    },
    async lookAtBackup({ params }) {
      return { body: await restores.offerShelved(params.name) };
    },
    async offerBackup({ query, body }) {
      return { body: await restores.offer(query.fileName ?? 'The backup', body) };
    },
    async restoreBook({ params }) {
      return { body: await restores.restore(params.id) };
    },
    async dropRestore({ params }) {
      await restores.drop(params.id);
      return { body: undefined };
    },
  };
}

function whichKind() {
  return plainFault(
    'does-not-fit',
    'bad-input',
    'A table holds records of one kind.',
    'Say which, such as kind=mix.',
  );
}

export function demoHandlers({
  book,
  demo,
}: ServerDependencies): Handlers<'demo' | 'moveDemoIn' | 'clearDemoOut'> {
  return {
    async demo() {
      return { body: await demoState(book, await demo()) };
    },
    async moveDemoIn(_, { by }) {
      return { body: await moveDemoIn(book, await demo(), by) };
    },
    async clearDemoOut(_, { by }) {
      return { body: await clearDemoOut(book, await demo(), by) };
    },
  };
}
