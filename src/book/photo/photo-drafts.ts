import type { PhotoDraft } from '../../api/photo-routes.ts';
import { AppError } from '../../core/errors.ts';

/** Stores photos that the user has not accepted yet, outside the book. */
export interface DraftStore {
  /** Whole or not at all. Refuses: as the disk does */
  put(draft: PhotoDraft, photo: Uint8Array, preview: Uint8Array): Promise<void>;
  /** Other words for one that lies there. */
  retell(draft: PhotoDraft): Promise<void>;
  list(): Promise<readonly PhotoDraft[]>;
  get(id: string): Promise<PhotoDraft | undefined>;
  photo(id: string): Promise<Uint8Array | undefined>;
  preview(id: string): Promise<Uint8Array | undefined>;
  remove(id: string): Promise<void>;
}

/** What a look at a photo tells. */
export interface PhotoLook {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly preview: { readonly widthPx: number; readonly heightPx: number };
  readonly notes: readonly string[];
  readonly jpeg: Uint8Array;
}

export interface DraftPorts {
  readonly store: DraftStore;
  readonly nowEpochMs: () => number;
  readonly newId: () => string;
  /** Decodes it and makes it small. Refuses: what is no photo, damaged, too large -> bad-input */
  readonly look: (photo: Uint8Array, fileName: string) => Promise<PhotoLook>;
}

export interface PhotoDrafts {
  /** Refuses: as looking at it and the disk do */
  add(call: {
    readonly photo: Uint8Array;
    readonly mediaType: PhotoDraft['mediaType'];
    readonly fileName: string;
  }): Promise<PhotoDraft>;
  /** Refuses: none of that name any more -> photo-not-waiting (not-found) */
  get(id: string): Promise<PhotoDraft>;
  photo(id: string): Promise<Uint8Array>;
  preview(id: string): Promise<Uint8Array>;
  /** The book has it now: it stays a little, so that a call sent again still finds it. */
  accepted(id: string): Promise<void>;
  drop(id: string): Promise<void>;
  /** Throws away what is past its time. */
  sweep(): Promise<void>;
}

/** A photo of the evening can still be accepted the day after. */
const LIFE_MS = 48 * 60 * 60 * 1000;
const LIFE_ACCEPTED_MS = 60 * 60 * 1000;
const MOST_DRAFTS = 40;
const MOST_BYTES = 512 * 1024 * 1024;

/**
 * Photos between taking and accepting.
 * Holds:   at most 40 of 512 MB together: for a new one the oldest go
 */
export function photoDrafts(ports: DraftPorts): PhotoDrafts {
  const { store, nowEpochMs, newId, look } = ports;
  const isoAt = (epochMs: number) => new Date(epochMs).toISOString();
  const known = async (id: string): Promise<PhotoDraft> => {
    const draft = await store.get(id);
    if (draft === undefined || draft.expiresAt <= isoAt(nowEpochMs())) throw notWaiting(id);
    return draft;
  };
  const lying = async (id: string, of: 'photo' | 'preview'): Promise<Uint8Array> => {
    await known(id);
    const bytes = await store[of](id);
    if (bytes === undefined) throw notWaiting(id);
    return bytes;
  };
  const sweep = async (room = 0) => {
    const now = isoAt(nowEpochMs());
    const newestFirst = [...(await store.list())].sort((one, other) =>
      one.createdAt < other.createdAt ? 1 : -1,
    );
    let bytes = room;
    for (const [i, draft] of newestFirst.entries()) {
      bytes += draft.bytes;
      const most = room === 0 ? MOST_DRAFTS : MOST_DRAFTS - 1;
      if (draft.expiresAt <= now || bytes > MOST_BYTES || i >= most) await store.remove(draft.id);
    }
  };
  return {
    async add({ photo, mediaType, fileName }) {
      const { jpeg, ...seen } = await look(photo, fileName);
      await sweep(photo.length);
      const now = nowEpochMs();
      const draft: PhotoDraft = {
        id: newId(),
        fileName,
        mediaType,
        bytes: photo.length,
        ...seen,
        notes: [...seen.notes],
        createdAt: isoAt(now),
        expiresAt: isoAt(now + LIFE_MS),
      };
      await store.put(draft, photo, jpeg);
      return draft;
    },
    get: known,
    photo: (id) => lying(id, 'photo'),
    preview: (id) => lying(id, 'preview'),
    async accepted(id) {
      const draft = await store.get(id);
      if (draft === undefined) return;
      await store.retell({ ...draft, expiresAt: isoAt(nowEpochMs() + LIFE_ACCEPTED_MS) });
    },
    async drop(id) {
      await known(id);
      await store.remove(id);
    },
    sweep: () => sweep(),
  };
}

function notWaiting(id: string): AppError {
  return new AppError({
    code: 'photo-not-waiting',
    kind: 'not-found',
    detail: 'This photo does not lie here any more.',
    hint: 'Choose it again; photos that were not accepted are thrown away after two days.',
    more: { id },
  });
}
