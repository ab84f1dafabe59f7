import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openBook } from '../book/book.ts';
import { changeBook } from '../book/change-book.ts';
import { purgeDeleted } from '../book/purge-deleted.ts';
import { redoInBook, undoInBook } from '../book/undo-change.ts';
import { openBookFolder } from './book-folder.ts';
import { ownerOf } from './folder-lock.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-book-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a book folder', () => {
  it('keeps what was put into it over closing and opening', async () => {
    const open = await openBookFolder(folder);
    const book = openBook(open.ports);
    const { records } = await changeBook(book, {
      what: 'Kept the line Saltmarsh',
      steps: [{ do: 'put', kind: 'line', body: { name: 'Saltmarsh', status: 'current' } }],
    });
    await undoInBook(book);
    await redoInBook(book);
    await open.close();
    const again = await openBookFolder(folder);
    const record = await again.ports.store.get(records[0].id);
    expect(record).toMatchObject({ kind: 'line', version: 3, body: { name: 'Saltmarsh' } });
    expect(record).not.toHaveProperty('deletedAt');
    expect(await purgeDeleted(openBook(again.ports))).toEqual({ records: 0, files: 0 });
    await again.close();
  });

  it('belongs to one at a time, who says where it is', async () => {
    const open = await openBookFolder(folder);
    expect(ownerOf(folder)).toEqual({ pid: process.pid });
    open.lock.announce('http://127.0.0.1:4242', 'secret');
    expect(ownerOf(folder)).toMatchObject({ pass: 'secret' });
    expect(statSync(join(folder, 'book.owner.json')).mode & 0o777).toBe(0o600);
    await expect(openBookFolder(folder)).rejects.toMatchObject({
      code: 'folder-in-use',
      more: { owner: { pid: process.pid, url: 'http://127.0.0.1:4242' } },
    });
    await open.close();
    expect(ownerOf(folder)).toBeUndefined();
    await (await openBookFolder(folder)).close();
  });
});
