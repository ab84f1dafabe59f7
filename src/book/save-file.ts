import { sha256Of } from '../domain/canonical-json.ts';
import type { BodyOf, BookRecord } from '../domain/records/record.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import type { Book, Changed } from './book.ts';
import { changeBook } from './change-book.ts';

export interface PhotoCall {
  readonly bytes: Uint8Array;
  /** All but what the bytes tell. */
  readonly body: Omit<BodyOf<'photo'>, 'sha256' | 'bytes'>;
  readonly what: string;
  readonly id?: string;
  readonly key?: string;
  readonly by?: string;
}

/**
 * Keeps a photo as it came: first its bytes on the disk, then the record that names them, so that no
 * record ever names a file that is not there.
 */
export function savePhoto(book: Book, call: PhotoCall): Promise<Changed> {
  const { bytes, body, what, id, key, by } = call;
  return withFiles(book, [{ bytes, ending: PHOTO_TYPES[body.mediaType] }], ([sha256]) =>
    changeBook(book, {
      what,
      steps: [
        {
          do: 'put',
          kind: 'photo',
          ...(id === undefined ? {} : { id }),
          body: { ...body, sha256, bytes: bytes.length },
        },
      ],
      ...(key === undefined ? {} : { key }),
      ...(by === undefined ? {} : { by }),
    }),
  );
}

/** Keeps a clay file, and the record of what it was learned from, the same way. */
export function saveClayModel(
  book: Book,
  bytes: Uint8Array,
  body: Omit<BodyOf<'clay-model'>, 'sha256' | 'bytes'>,
  what: string,
): Promise<Changed> {
  return withFiles(book, [{ bytes, ending: 'json' }], ([sha256]) =>
    changeBook(book, {
      what,
      steps: [{ do: 'put', kind: 'clay-model', body: { ...body, sha256, bytes: bytes.length } }],
    }),
  );
}

/** The bytes a photo or clay model names. Refuses: as the kept files do */
export function bytesOf(
  book: Book,
  { body }: Extract<BookRecord, { kind: 'photo' | 'clay-model' }>,
): Promise<Uint8Array> {
  return book.ports.files.get(body.sha256);
}

/** A file whose record comes with it. */
export interface ComingFile {
  readonly bytes: Uint8Array;
  readonly ending: string;
}

/** While it runs, an emptying of the bin leaves the files alone, though no record names them yet. */
export async function withFiles<T>(
  { ports, coming }: Book,
  files: readonly ComingFile[],
  work: (sums: readonly string[]) => Promise<T>,
): Promise<T> {
  const sums = files.map(({ bytes }) => sha256Of(bytes));
  for (const sha256 of sums) coming.set(sha256, (coming.get(sha256) ?? 0) + 1);
  try {
    for (const { bytes, ending } of files) await ports.files.put(bytes, ending);
    return await work(sums);
  } finally {
    for (const sha256 of sums) {
      const left = coming.get(sha256)! - 1;
      if (left === 0) coming.delete(sha256);
      else coming.set(sha256, left);
    }
  }
}
