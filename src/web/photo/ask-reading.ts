import { AppError } from '../../core/errors.ts';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { changePhoto, changePhotoSession, photoSessionNow } from './photo-session-store.ts';

/** Changes within it are read together: several taps, a corner moved by keys. */
const GATHER_MS = 500;
/** What could not be asked for is asked for again: the program may be there again by then. */
const AGAIN_MS = 5000;

/** Photos whose reading is about to be asked for. */
const waiting = new Map<string, ReturnType<typeof setTimeout>>();
/** How often a reading of each was asked for: the answer to an older call must not stand for a newer one. */
const asked = new Map<string, number>();

/** Has a photo read as the desk now says; what is being read of it is stopped. */
export function readAnew(draftId: string, afterMs = GATHER_MS): void {
  clearTimeout(waiting.get(draftId));
  waiting.set(
    draftId,
    setTimeout(() => void ask(draftId), afterMs),
  );
}

/** Has read what lies on the desk and was never asked for: the page was left between the two. */
export function readForgotten(): void {
  for (const { draftId, jobId } of photoSessionNow().photos) {
    if (jobId === undefined && !waiting.has(draftId)) readAnew(draftId, 0);
  }
}

async function ask(draftId: string): Promise<void> {
  const { photos, chart } = photoSessionNow();
  const photo = photos.find((one) => one.draftId === draftId);
  if (photo === undefined) return forget(draftId);
  const mine = (asked.get(draftId) ?? 0) + 1;
  asked.set(draftId, mine);
  const timer = waiting.get(draftId);
  const { sheet, corners, taps, controls, jobId } = photo;
  if (jobId !== undefined) await cancel(jobId);
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
    if (asked.get(draftId) !== mine) return void cancel(body.id);
    changePhoto(draftId, { jobId: body.id, unread: undefined });
    if (waiting.get(draftId) === timer) waiting.delete(draftId);
  } catch (fault) {
    if (asked.get(draftId) !== mine) return;
    changePhoto(draftId, { unread: wordsOf(fault) });
    if (waiting.get(draftId) !== timer) return;
    waiting.delete(draftId);
    if (fault instanceof AppError && fault.retry) readAnew(draftId, AGAIN_MS);
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

/** Throws a photo away, with what was said of its tiles if it was the last of its tray. */
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
