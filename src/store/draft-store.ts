import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { type PhotoDraft, photoDraftSchema } from '../api/photo-routes.ts';
import type { DraftStore } from '../book/photo/photo-drafts.ts';
import { moveFile } from './move-file.ts';
import { notSaved } from './saved-files.ts';

/**
 * Photos that wait to be accepted, in a folder of their own: each as three files, of which the words are
 * written last, so that what a crash left half-written is none.
 */
export function draftStoreIn(folder: string): DraftStore {
  const at = (id: string, ending: string) => {
    if (!/^[a-z0-9][a-z0-9-]*$/.test(id)) throw new TypeError(`${id} is no name of a draft`);
    return join(folder, `${id}.${ending}`);
  };
  const bytesAt = async (path: string): Promise<Buffer | undefined> => {
    try {
      return await readFile(path);
    } catch (thrown) {
      if ((thrown as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
      throw thrown;
    }
  };
  const get = async (id: string): Promise<PhotoDraft | undefined> => {
    const words = await bytesAt(at(id, 'json'));
    if (words === undefined) return undefined;
    try {
      return photoDraftSchema.parse(JSON.parse(words.toString('utf8')));
    } catch {
      return undefined;
    }
  };
  const retell = async (draft: PhotoDraft) => {
    const beside = at(draft.id, 'new');
    await writeFile(beside, JSON.stringify(draft));
    moveFile(beside, at(draft.id, 'json'));
  };
  const remove = async (id: string) => {
    for (const ending of ['json', 'new', 'photo', 'preview']) {
      await rm(at(id, ending), { force: true });
    }
  };
  return {
    async put(draft, photo, preview) {
      try {
        // Not before: a book in a folder that can only be read is served too.
        await mkdir(folder, { recursive: true, mode: 0o700 });
        await writeFile(at(draft.id, 'photo'), photo);
        await writeFile(at(draft.id, 'preview'), preview);
        await retell(draft);
      } catch (thrown) {
        await remove(draft.id);
        throw notSaved(folder, thrown);
      }
    },
    retell,
    get,
    photo: (id) => bytesAt(at(id, 'photo')),
    preview: (id) => bytesAt(at(id, 'preview')),
    remove,
    async list() {
      const names = await namesIn(folder);
      const ids = names.flatMap((name) => /^(.+)\.json$/.exec(name)?.[1] ?? []);
      return (await Promise.all(ids.map(get))).flatMap((draft) => draft ?? []);
    },
  };
}

async function namesIn(folder: string): Promise<readonly string[]> {
  try {
    return await readdir(folder);
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw thrown;
  }
}

/** Takes away what nobody's words name: photos a crash left. To be done before any is written. */
export async function sweepDrafts(folder: string): Promise<void> {
  const names = await namesIn(folder);
  for (const name of names) {
    const id = /^(.+)\.(?:photo|preview|new)$/.exec(name)?.[1];
    if (id === undefined) continue;
    if (name.endsWith('.new') || !names.includes(`${id}.json`)) {
      await rm(join(folder, name), { force: true });
    }
  }
}
