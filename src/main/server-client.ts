import { randomUUID } from 'node:crypto';
import type { ApiInput } from '../api/routes.ts';
import type { BookService } from '../book/book-service.ts';
import type { ComingFile } from '../book/save-file.ts';
import type { ApiClient } from '../client/api-client.ts';
import { AppError } from '../core/errors.ts';

/** The book service of a book that a server has open, through its API like any other program. */
export function serverClient(client: ApiClient): BookService {
  // One key a change: where the answer is lost on the way, it can be asked for again without doing it twice.
  const once = () => ({ key: randomUUID() });
  const bring = async (files: readonly ComingFile[]) => {
    // The files first: no record may name what is not there.
    for (const { bytes, ending } of files) {
      const call = { query: { ending }, body: bytes } as ApiInput<'bringFile'>;
      await client.call('bringFile', call, { mediaType: 'application/octet-stream' });
    }
  };
  const change: BookService['change'] = async ({ key, by: _by, ...body }) => {
    const options = key === undefined ? once() : { key };
    return (await client.call('makeChange', { body } as ApiInput<'makeChange'>, options)).body;
  };
  return {
    async counts() {
      return (await client.call('countRecords', {})).body;
    },
    async get(id) {
      try {
        return (await client.call('getRecord', { params: { id } })).body;
      } catch (fault) {
        if (fault instanceof AppError && fault.kind === 'not-found') return undefined;
        throw fault;
      }
    },
    async list({ uses, bin, descending, ...call }) {
      const query = {
        ...call,
        ...(bin === true ? { bin: 'true' as const } : {}),
        ...(descending === true ? { descending: 'true' as const } : {}),
        ...(uses === undefined
          ? {}
          : { uses: uses.id, ...(uses.role === undefined ? {} : { role: uses.role }) }),
      };
      return (await client.call('listRecords', { query } as ApiInput<'listRecords'>)).body;
    },
    async search({ text, kinds, limit }) {
      const query = { text, limit, ...(kinds === undefined ? {} : { kind: [...kinds] }) };
      return (await client.call('search', { query } as ApiInput<'search'>)).body;
    },
    async nearest({ lab, kinds, top, within, raw }) {
      const [l, a, b] = lab;
      const query = {
        l,
        a,
        b,
        top,
        ...(kinds === undefined ? {} : { kind: [...kinds] }),
        ...(within === undefined ? {} : { within }),
        ...(raw === true ? { raw: 'true' as const } : {}),
      };
      const { near } = (await client.call('nearest', { query } as ApiInput<'nearest'>)).body;
      return near.map((one) => ({ ...one, id: one.record.id }));
    },
    async stock() {
      return (await client.call('stock', { query: {} })).body.stock;
    },
    async changes(limit) {
      return (await client.call('listChanges', { query: { limit } })).body.changes;
    },
    async history(id, limit) {
      const call = { params: { id }, query: { limit } };
      return (await client.call('recordHistory', call)).body.steps;
    },
    change,
    async changeWithFiles(sent, files) {
      await bring(files);
      return change(sent);
    },
    async clayBytes({ id }) {
      return (await client.call('clayBytes', { params: { id } })).body;
    },
    async undo(seq) {
      const body = seq === undefined ? {} : { seq };
      return (await client.call('undo', { body }, once())).body;
    },
    async redo(seq) {
      const body = seq === undefined ? {} : { seq };
      return (await client.call('redo', { body }, once())).body;
    },
    async savePhoto(bytes, body) {
      const { mediaType, fileName, name, takenAt } = body;
      const query = {
        ...(fileName === undefined ? {} : { fileName }),
        ...(name === undefined ? {} : { name }),
        ...(takenAt === undefined ? {} : { takenAt }),
      };
      const call = { query, body: bytes } as ApiInput<'savePhoto'>;
      return (await client.call('savePhoto', call, { ...once(), mediaType })).body as never;
    },
    async saveLearned({ bytes, name, learnedOn }) {
      const call = { query: { name, learnedOn }, body: bytes };
      await client.call('saveLearned', call, { mediaType: 'application/octet-stream' });
    },
    async importRecords({ records, files, what, replace = false }) {
      await bring(files);
      const body = { records, what, replace };
      return (await client.call('importRecords', { body } as ApiInput<'importRecords'>)).body;
    },
  };
}
