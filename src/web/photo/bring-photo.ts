import { useSyncExternalStore } from 'react';
import type { PhotoDraft } from '../../contract/api/photo-routes.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { changeDesk, changePhoto, deskNow, type PhotoHere } from './photo-desk.ts';

/** A photo on its way, or the reason it did not come. */
export interface Coming {
  readonly key: number;
  readonly fileName: string;
  readonly no?: string;
  readonly stop: () => void;
}

const SENT = ['image/jpeg', 'image/png', 'image/heic', 'image/tiff', 'image/webp'];
/** Changes within it are read together: several taps, a corner moved by keys. */
const GATHER_MS = 500;

let coming: readonly Coming[] = [];
let count = 0;
const hearers = new Set<() => void>();
function setComing(next: readonly Coming[]): void {
  coming = next;
  for (const hear of hearers) hear();
}

export function useComing(): readonly Coming[] {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => coming,
  );
}

/** Brings photos to the book's side, where they wait, and has each read. */
export async function bringPhotos(files: readonly File[]): Promise<void> {
  for (const file of files) await bringPhoto(file);
}

async function bringPhoto(file: File): Promise<void> {
  const key = ++count;
  const stop = new AbortController();
  const away = () => setComing(coming.filter((one) => one.key !== key));
  const fileName = file.name.trim().slice(0, 200) || 'The photo';
  setComing([
    ...coming,
    {
      key,
      fileName,
      stop: () => {
        stop.abort();
        away();
      },
    },
  ]);
  try {
    const { body } = await client.call(
      'addPhotoDraft',
      { query: { fileName }, body: file },
      {
        mediaType: SENT.includes(file.type) ? file.type : 'application/octet-stream',
        signal: stop.signal,
      },
    );
    away();
    const { id, widthPx, heightPx } = body as PhotoDraft;
    const photo: PhotoHere = {
      draftId: id,
      fileName,
      widthPx,
      heightPx,
      tray: deskNow().photos.at(-1)?.tray ?? 1,
      sheet: deskNow().photos.at(-1)?.sheet ?? 'any',
      taps: [],
      controls: [],
    };
    changeDesk((now) => ({ ...now, photos: [...now.photos, photo] }));
    readAnew(id, 0);
  } catch (fault) {
    if (stop.signal.aborted) return;
    setComing(
      coming.map((one) => (one.key === key ? { ...one, no: wordsOf(fault), stop: away } : one)),
    );
  }
}

const waiting = new Map<string, ReturnType<typeof setTimeout>>();

/** Has a photo read as the desk now says; what is being read of it is stopped. */
export function readAnew(draftId: string, afterMs = GATHER_MS): void {
  clearTimeout(waiting.get(draftId));
  waiting.set(
    draftId,
    setTimeout(() => void ask(draftId), afterMs),
  );
}

async function ask(draftId: string): Promise<void> {
  const { photos, chart } = deskNow();
  const photo = photos.find((one) => one.draftId === draftId);
  if (photo === undefined) return;
  const { sheet, corners, taps, controls, jobId } = photo;
  if (jobId !== undefined)
    await client.call('cancelJob', { params: { id: jobId } }).catch(() => {});
  try {
    const { body } = await client.call('startJob', {
      body: {
        do: 'read-photo',
        photo: { draftId },
        sheet,
        chart,
        taps: taps.map(({ name, at }) => ({ name, at: [at[0], at[1]] as [number, number] })),
        controls: [...controls],
        ...(corners === undefined ? {} : { corners: corners as never }),
      },
    });
    changePhoto(draftId, { jobId: body.id });
  } catch (fault) {
    setComing([
      ...coming,
      { key: ++count, fileName: photo.fileName, no: wordsOf(fault), stop: () => setComing([]) },
    ]);
  }
}

/** Throws a photo away, with what was said of its tiles if it was the last of its tray. */
export function dropPhoto(draftId: string): void {
  clearTimeout(waiting.get(draftId));
  const photo = deskNow().photos.find((one) => one.draftId === draftId);
  if (photo?.jobId !== undefined) {
    void client.call('cancelJob', { params: { id: photo.jobId } }).catch(() => {});
  }
  void client.call('dropPhotoDraft', { params: { id: draftId } }).catch(() => {});
  changeDesk((now) => {
    const photos = now.photos.filter((one) => one.draftId !== draftId);
    const trays = new Set(photos.map(({ tray }) => tray));
    const rows = Object.entries(now.rows).filter(([key]) => trays.has(Number(key.split('/')[0])));
    return { ...now, photos, rows: Object.fromEntries(rows) };
  });
}
