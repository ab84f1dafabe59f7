import type { Book } from '../book.ts';
import type { ClayWorkDone } from '../clay-work.ts';
import { notInBook } from '../errors.ts';
import type { JobRunner, JobTools } from '../jobs/job-queue.ts';
import { bytesOf } from '../save-file.ts';
import type { PhotoDrafts, PhotoLook } from './photo-drafts.ts';
import type { PhotoWork } from './photo-work.ts';

/** Does photo work on another thread. */
export type PhotoWorkElsewhere = (
  work: PhotoWork,
  tools: Partial<Pick<JobTools, 'signal' | 'progress'>>,
) => Promise<ClayWorkDone>;

/**
 * Reads the tiles of a photo, kept or waiting to be.
 * Holds:   nothing is kept, whatever comes out
 */
export function photoJob(
  book: Book,
  drafts: PhotoDrafts,
  elsewhere: PhotoWorkElsewhere,
): JobRunner<'read-photo'> {
  return async ({ do: _, photo, ...call }, tools) => {
    const { bytes, fileName } =
      'draftId' in photo
        ? {
            fileName: (await drafts.get(photo.draftId)).fileName,
            bytes: await drafts.photo(photo.draftId),
          }
        : await savedPhoto(book, photo.photoId);
    return (await elsewhere({ verb: 'read-photo', photo: bytes, fileName, call }, tools)).answer;
  };
}

/** A photo the book keeps, made small to be shown. */
export async function previewOfSaved(
  book: Book,
  elsewhere: PhotoWorkElsewhere,
  id: string,
): Promise<Uint8Array> {
  const { bytes, fileName } = await savedPhoto(book, id);
  return (await lookElsewhere(elsewhere)(bytes, fileName)).jpeg;
}

/** A look at a photo, done on another thread. */
export function lookElsewhere(elsewhere: PhotoWorkElsewhere) {
  return async (photo: Uint8Array, fileName: string): Promise<PhotoLook> => {
    const { answer, bytes } = await elsewhere({ verb: 'look-at-photo', photo, fileName }, {});
    return { ...(answer as unknown as Omit<PhotoLook, 'jpeg'>), jpeg: bytes! };
  };
}

async function savedPhoto(book: Book, id: string) {
  const record = await book.ports.store.get(id);
  if (record?.kind !== 'photo') throw notInBook(id);
  const { fileName, name } = record.body;
  return { bytes: await bytesOf(book, record), fileName: fileName ?? name ?? 'The photo' };
}
