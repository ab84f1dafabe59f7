import { createWriteStream } from 'node:fs';
import { mkdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { IncomingFile } from '../book/restore-service.ts';
import { notSaved } from './saved-files.ts';

export interface IncomingBackups {
  /** Refuses: no room -> disk-full; the disk or the sender stopped -> file-not-kept. Nothing is then left */
  put(id: string, bytes: AsyncIterable<Uint8Array>): Promise<IncomingFile>;
  remove(id: string): Promise<void>;
}

/** Backups that come in to be looked at; what a stop of the program left is taken away. */
export async function incomingBackups(folder: string): Promise<IncomingBackups> {
  // Where the folder can only be read, what is left there is in nobody's way.
  await rm(folder, { recursive: true, force: true }).catch(() => {});
  const at = (id: string) => join(folder, `${id}.zip`);
  const remove = (id: string) => rm(at(id), { force: true });
  return {
    async put(id, bytes) {
      try {
        await mkdir(folder, { recursive: true, mode: 0o700 });
        await pipeline(bytes, createWriteStream(at(id), { flags: 'wx', mode: 0o600 }));
        const { size } = await stat(at(id));
        return { path: at(id), bytes: size };
      } catch (thrown) {
        await remove(id);
        throw notSaved(folder, thrown);
      }
    },
    remove,
  };
}
