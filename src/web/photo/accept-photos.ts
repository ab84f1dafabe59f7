import { AppError } from '../../core/errors.ts';
import { acceptTilesSteps } from '../../domain/changes/accept-tiles.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { changeNotice, newId } from '../book/change.ts';
import { client } from '../book/client.ts';
import {
  type ChartAsked,
  changePhotoSession,
  clearPhotoSession,
  type PhotoHere,
  photoSessionNow,
} from './photo-session-store.ts';
import { type ImportedRow, readTilesOf } from './read-tiles.ts';

/** The result of accepting. */
export interface Accepted {
  readonly tiles: number;
  readonly raw: boolean;
}

type Sent = Parameters<typeof client.call<'acceptPhotos'>>[1]['body'];
/** A request without an answer may have succeeded, so it is sent again under the same key. */
let unanswered: { readonly does: string; readonly body: Sent; readonly key: string } | undefined;

/**
 * Saves photos, tiles and readings in the book, as one change. Photos without an accepted tile stay in the
 * session.
 * Refuses: as the book does; the session is then unchanged
 */
export async function acceptPhotos(
  rows: readonly ImportedRow[],
  lines: readonly RecordOf<'line'>[],
): Promise<Accepted> {
  const { photos, line, rows: said } = photoSessionNow();
  const used = photos.filter(({ draftId }) =>
    rows.some(({ row }) => row.counted.some((shot) => shot.draftId === draftId)),
  );
  // Compared by what the user typed, as its meaning changes once the change is made.
  const taken = rows.map(({ row, state }) => [row.key, row.reading.lab, state]);
  const does = JSON.stringify([used, taken, said, line]);
  const sent =
    unanswered?.does === does
      ? unanswered
      : { does, body: bodyOf(rows, used, lines), key: newId('accept') };
  unanswered = sent;
  let answer: Awaited<ReturnType<typeof send>>;
  try {
    answer = await send(sent);
  } catch (fault) {
    if (!(fault instanceof AppError && fault.retry)) unanswered = undefined;
    throw fault;
  }
  unanswered = undefined;
  // Another photo may have been added meanwhile.
  const left = photoSessionNow().photos.filter((one) =>
    used.every(({ draftId }) => draftId !== one.draftId),
  );
  if (left.length === 0) clearPhotoSession();
  else changePhotoSession((now) => ({ ...now, photos: left, rows: {} }));
  await changeNotice(sent.body.what, answer.body);
  return { tiles: rows.length, raw: rows.every(({ state }) => state === 'raw') };
}

function send({ body, key }: { readonly body: Sent; readonly key: string }) {
  return client.call('acceptPhotos', { body }, { key });
}

function bodyOf(
  rows: readonly ImportedRow[],
  used: readonly PhotoHere[],
  lines: readonly RecordOf<'line'>[],
): Sent {
  const photoIds = new Map(used.map(({ draftId }) => [draftId, newId('photo')]));
  const steps = acceptTilesSteps({
    rows: readTilesOf(rows, photoIds, new Date().toISOString()),
    line: photoSessionNow().line,
    lines,
    newId,
  });
  const tiles = `${rows.length} ${rows.length === 1 ? 'tile' : 'tiles'}`;
  return {
    what: `Added ${tiles} from ${used.length === 1 ? 'a photo' : `${used.length} photos`}`,
    photos: used.map((photo) => ({
      draftId: photo.draftId,
      id: photoIds.get(photo.draftId)!,
      name: photo.fileName,
      readAs: readAsOf(photo, photoSessionNow().chart),
    })),
    steps: [...steps],
  };
}

/** Longer chart files are not saved with the photo. */
const MOST_CHART_LETTERS = 20_000;

/** How a photo was read, for the record of it. */
export function readAsOf(
  { sheet, corners }: Pick<PhotoHere, 'sheet' | 'corners'>,
  chart: ChartAsked,
): NonNullable<BodyOf<'photo'>['readAs']> {
  const isLong = typeof chart !== 'string' && chart.text.length > MOST_CHART_LETTERS;
  return {
    sheet,
    ...(isLong ? {} : { chart }),
    ...(corners === undefined ? {} : { corners }),
  };
}
