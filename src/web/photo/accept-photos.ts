import type { Lab } from '../../core/colour/triples.ts';
import { AppError } from '../../core/errors.ts';
import { acceptTilesSteps } from '../../domain/changes/accept-tiles.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { changeNotice, newId } from '../book/change.ts';
import { client } from '../book/client.ts';
import type { NameSeen } from './name-watch.tsx';
import {
  type ChartAsked,
  changePhotoSession,
  clearPhotoSession,
  type PhotoHere,
  type PhotoSession,
  photoSessionNow,
  type RawTile,
} from './photo-session-store.ts';
import { targetTitle } from './photo-words.ts';
import { type ImportedRow, readTilesOf } from './read-tiles.ts';
import { isPlace } from './use-tile-list.ts';

/** A tile that was saved, with the colour that its name stood for before. */
export interface SavedTile {
  readonly key: string;
  readonly title: string;
  readonly lab: Lab;
  readonly seen?: NameSeen;
}

/** The result of accepting. */
export interface Accepted {
  readonly tiles: readonly SavedTile[];
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
  names: ReadonlyMap<string, NameSeen> = new Map(),
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
  const raws = rawTiles(rows, sent.body.steps, said);
  changePhotoSession((now) => ({ ...now, raws }));
  await changeNotice(sent.body.what, answer.body);
  const tiles = rows.map(({ row: { key, reading }, target }): SavedTile => {
    const seen = names.get(key);
    const saved = { key, title: targetTitle(target), lab: reading.lab };
    return seen === undefined ? saved : { ...saved, seen };
  });
  return { tiles, raw: rows.every(({ state }) => state === 'raw') };
}

/** The raw tiles by their places, so that the baked ones of the same tray join them. */
function rawTiles(
  rows: readonly ImportedRow[],
  steps: Sent['steps'],
  said: PhotoSession['rows'],
): PhotoSession['raws'] {
  const readings = steps.flatMap((step) =>
    step.do === 'put' && step.kind === 'reading' ? [step.body as BodyOf<'reading'>] : [],
  );
  let at = 0;
  const raws: [string, RawTile][] = [];
  for (const { row, state } of rows) {
    const { of } = readings[at] ?? {};
    at += row.counted.length;
    const text = said[row.key]?.text ?? '';
    if (state === 'raw' && of !== undefined && text !== '' && isPlace(row))
      raws.push([row.name, { text, tileId: of.id }]);
  }
  return Object.fromEntries(raws);
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
  { sheet, corners, chartAt }: Pick<PhotoHere, 'sheet' | 'corners' | 'chartAt'>,
  chart: ChartAsked,
): NonNullable<BodyOf<'photo'>['readAs']> {
  const isLong = typeof chart !== 'string' && chart.text.length > MOST_CHART_LETTERS;
  return {
    sheet,
    ...(isLong ? {} : { chart }),
    ...(chartAt === undefined ? {} : { chartAt }),
    ...(corners === undefined ? {} : { corners }),
  };
}
