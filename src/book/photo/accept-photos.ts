import type { BookStep } from '../../domain/records/change.ts';
import type { BodyOf } from '../../domain/records/record.ts';
import { PHOTO_TYPES } from '../../domain/records/sample-bodies.ts';
import type { Book, Changed } from '../book.ts';
import { changeBook } from '../change-book.ts';
import { withFiles } from '../save-file.ts';
import type { PhotoDrafts } from './photo-drafts.ts';

export interface AcceptCall {
  readonly photos: readonly {
    readonly draftId: string;
    readonly id: string;
    readonly name?: string;
    readonly takenAt?: string;
    readonly readAs?: NonNullable<BodyOf<'photo'>['readAs']>;
  }[];
  readonly what: string;
  /** Tiles and readings that name the photos. */
  readonly steps: readonly BookStep[];
  readonly key?: string;
  readonly by?: string;
}

/**
 * Saves waiting photos, with the readings taken from them, as one change of the book.
 * Refuses: a photo that is no longer waiting -> photo-not-waiting (not-found); what `changeBook` refuses
 * Holds:   the bytes are written before the records; undo leaves all of these records deleted
 */
export async function acceptPhotosInBook(
  book: Book,
  drafts: PhotoDrafts,
  sizeOf: (
    photo: Uint8Array,
  ) => { readonly widthPx: number; readonly heightPx: number } | undefined,
  call: AcceptCall,
): Promise<Changed> {
  const { photos, what, steps, key, by } = call;
  const given = await Promise.all(
    photos.map(async ({ draftId, ...photo }) => {
      const { mediaType, fileName } = await drafts.get(draftId);
      const bytes = await drafts.photo(draftId);
      return { draftId, photo, bytes, mediaType, fileName };
    }),
  );
  const files = given.map(({ bytes, mediaType }) => ({ bytes, ending: PHOTO_TYPES[mediaType] }));
  const changed = await withFiles(book, files, (sums) => {
    const kept = given.map(({ photo, bytes, mediaType, fileName }, i): BookStep => {
      const { id, ...rest } = photo;
      const size = sizeOf(bytes);
      return {
        do: 'put',
        kind: 'photo',
        id,
        body: {
          ...rest,
          mediaType,
          fileName,
          sha256: sums[i],
          bytes: bytes.length,
          // As the file has it, like every kept photo: not turned.
          ...(size === undefined ? {} : { widthPx: size.widthPx, heightPx: size.heightPx }),
        },
      };
    });
    return changeBook(book, {
      what,
      steps: [...kept, ...steps],
      ...(key === undefined ? {} : { key }),
      ...(by === undefined ? {} : { by }),
    });
  });
  for (const { draftId } of given) await drafts.accepted(draftId);
  return changed;
}
