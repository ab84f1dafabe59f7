import { useSyncExternalStore } from 'react';
import type { PhotoDraft } from '../../api/photo-routes.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { readAgain } from './ask-reading.ts';
import { photoMediaType } from './photo-media-type.ts';
import { changePhotoSession, type PhotoHere, photoSessionNow } from './photo-session-store.ts';

/** A photo being uploaded, or the reason why the upload failed. */
export interface Coming {
  /** The order in which photos are shown. */
  readonly key: number;
  readonly file: File;
  readonly fileName: string;
  readonly stage: 'waits' | 'sent' | 'no';
  readonly no?: string;
}

/** Uploads at once: one is opened while the next is sent, and a slow one does not block the others. */
const AT_ONCE = 2;

let coming: readonly Coming[] = [];
let count = 0;
const stops = new Map<number, AbortController>();
/** The order in which the photos arrived since the page was opened. */
const arrivals = new Map<string, number>();
const listeners = new Set<() => void>();

function setComing(next: readonly Coming[]): void {
  coming = next;
  for (const listener of listeners) listener();
  const isOpen = next.some(({ stage }) => stage !== 'no');
  // A photo still being uploaded exists on this page only.
  if (isOpen) globalThis.addEventListener('beforeunload', askFirst);
  else globalThis.removeEventListener('beforeunload', askFirst);
}

function askFirst(event: Event): void {
  event.preventDefault();
}

export function useComing(): readonly Coming[] {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => coming,
  );
}

/** Position of a photo in the order of arrival; those there before the page was opened come first. */
export function arrivalOf(draftId: string): number {
  return arrivals.get(draftId) ?? 0;
}

/** Uploads photos and reads each; all are listed at once. */
export function bringPhotos(files: readonly File[]): void {
  const fresh = files.map((file): Coming => {
    const fileName = file.name.trim().slice(0, 200) || 'The photo';
    return { key: ++count, file, fileName, stage: 'waits' };
  });
  setComing([...coming, ...fresh]);
  pump();
}

/** Removes a photo that is being uploaded or was refused. */
export function stopComing(key: number): void {
  stops.get(key)?.abort();
  setComing(coming.filter((one) => one.key !== key));
  pump();
}

/** Tries a failed upload again. */
export function bringAgain(key: number): void {
  change(key, { stage: 'waits' });
  pump();
}

function change(key: number, part: Pick<Coming, 'stage' | 'no'>): void {
  setComing(
    coming.map((one) => {
      if (one.key !== key) return one;
      const { no: _, ...rest } = one;
      return { ...rest, ...part };
    }),
  );
}

function pump(): void {
  const free = AT_ONCE - coming.filter(({ stage }) => stage === 'sent').length;
  const next = coming.filter(({ stage }) => stage === 'waits').slice(0, Math.max(0, free));
  for (const one of next) void send(one);
}

async function send({ key, file, fileName }: Coming): Promise<void> {
  const stop = new AbortController();
  stops.set(key, stop);
  change(key, { stage: 'sent' });
  try {
    const { body } = await client.call(
      'addPhotoDraft',
      { query: { fileName }, body: file },
      {
        mediaType: photoMediaType(file),
        signal: stop.signal,
      },
    );
    if (!stop.signal.aborted) arrived(key, fileName, body as PhotoDraft);
  } catch (fault) {
    if (!stop.signal.aborted) change(key, { stage: 'no', no: wordsOf(fault) });
  } finally {
    stops.delete(key);
    pump();
  }
}

function arrived(key: number, fileName: string, { id, widthPx, heightPx }: PhotoDraft): void {
  const last = photoSessionNow().photos.at(-1);
  const photo: PhotoHere = {
    draftId: id,
    fileName,
    widthPx,
    heightPx,
    tray: last?.tray ?? 1,
    sheet: last?.sheet ?? 'any',
    taps: [],
    controls: [],
  };
  arrivals.set(id, key);
  changePhotoSession((now) => ({
    ...now,
    photos: [...now.photos, photo].sort((a, b) => arrivalOf(a.draftId) - arrivalOf(b.draftId)),
  }));
  setComing(coming.filter((one) => one.key !== key));
  readAgain(id, 0);
}
