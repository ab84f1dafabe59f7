import { AppError } from '../../core/errors.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { changePhoto, changePhotoSession, photoSessionNow } from './photo-session-store.ts';

/** Changes within this time are read together: several taps, a corner moved by keys. */
const GATHER_MS = 500;
/** Wait before a failed request is sent again. */
const AGAIN_MS = 5000;

/** Photos about to be read. */
const waiting = new Map<string, ReturnType<typeof setTimeout>>();
/** Requests per photo, so that the answer to an older request does not replace a newer one. */
const asked = new Map<string, number>();

/** Reads a photo with the current settings; a running reading of it is stopped. */
export function readAgain(draftId: string, afterMs = GATHER_MS): void {
  clearTimeout(waiting.get(draftId));
  changePhoto(draftId, { due: true });
  waiting.set(
    draftId,
    setTimeout(() => void ask(draftId), afterMs),
  );
}

/** Reads photos of the session that were not sent to be read, as the page was closed before. */
export function readUnread(): void {
  for (const { draftId, jobId, due } of photoSessionNow().photos) {
    if ((jobId === undefined || due) && !waiting.has(draftId)) readAgain(draftId, 0);
  }
}

async function ask(draftId: string): Promise<void> {
  const { photos, chart } = photoSessionNow();
  const photo = photos.find((one) => one.draftId === draftId);
  if (photo === undefined) return forget(draftId);
  const mine = (asked.get(draftId) ?? 0) + 1;
  asked.set(draftId, mine);
  const timer = waiting.get(draftId);
  const { sheet, corners, chartAt, taps, controls, jobId } = photo;
  if (jobId !== undefined) await cancel(jobId);
  try {
    const { body } = await client.call('startJob', {
      body: {
        do: 'read-photo',
        photo: { draftId },
        sheet,
        chart,
        taps: taps.map(({ name, at }) => ({ name, at: [at[0], at[1]] as [number, number] })),
        findTiles: true,
        controls: [...controls],
        ...(chartAt === undefined ? {} : { chartAt: [chartAt[0], chartAt[1]] as [number, number] }),
        ...(corners === undefined ? {} : { corners: corners as never }),
      },
    });
    if (asked.get(draftId) !== mine) return void cancel(body.id);
    const isNewest = waiting.get(draftId) === timer;
    changePhoto(draftId, {
      jobId: body.id,
      unread: undefined,
      ...(isNewest ? { due: undefined } : {}),
    });
    if (isNewest) waiting.delete(draftId);
  } catch (fault) {
    if (asked.get(draftId) !== mine) return;
    changePhoto(draftId, { unread: wordsOf(fault) });
    if (waiting.get(draftId) !== timer) return;
    changePhoto(draftId, { due: undefined });
    waiting.delete(draftId);
    if (fault instanceof AppError && fault.retry) readAgain(draftId, AGAIN_MS);
  }
}

async function cancel(id: string): Promise<void> {
  await client.call('cancelJob', { params: { id } }).catch(() => {});
}

function forget(draftId: string): void {
  clearTimeout(waiting.get(draftId));
  waiting.delete(draftId);
  asked.delete(draftId);
}

/** Removes a photo, with the text of its tiles if it was the last photo of its tray. */
export function dropPhoto(draftId: string): void {
  forget(draftId);
  const photo = photoSessionNow().photos.find((one) => one.draftId === draftId);
  if (photo?.jobId !== undefined) void cancel(photo.jobId);
  void client.call('dropPhotoDraft', { params: { id: draftId } }).catch(() => {});
  changePhotoSession((now) => {
    const photos = now.photos.filter((one) => one.draftId !== draftId);
    const trays = new Set(photos.map(({ tray }) => tray));
    const rows = Object.entries(now.rows).filter(([key]) => trays.has(Number(key.split('/')[0])));
    return { ...now, photos, rows: Object.fromEntries(rows) };
  });
}
