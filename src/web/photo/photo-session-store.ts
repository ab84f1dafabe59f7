import { useSyncExternalStore } from 'react';
import type { JobCall } from '../../api/job-routes.ts';
import type { Corners, Point } from '../../core/photo/plane-view.ts';

type ReadCall = Extract<JobCall, { do: 'read-photo' }>;
export type ChartAsked = ReadCall['chart'];
export type SheetAsked = ReadCall['sheet'];
export type State = 'raw' | 'baked';

export interface Tap {
  readonly name: string;
  readonly at: Point;
}

/** An uploaded photo, and how to read it. */
export interface PhotoHere {
  readonly draftId: string;
  readonly fileName: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Photos of one tray show the same tiles; numbered from 1. */
  readonly tray: number;
  readonly sheet: SheetAsked;
  readonly corners?: Corners;
  /** A place on the chart that is meant, where there are several. */
  readonly chartAt?: Point;
  readonly taps: readonly Tap[];
  readonly controls: ReadCall['controls'];
  /** The newest job that reads it. */
  readonly jobId?: string;
  /** The settings changed, or the photo is new: a reading will start in a moment. */
  readonly due?: true | undefined;
  /** Why the job could not be started. */
  readonly unread?: string | undefined;
}

/** What the user says about one tile; absent fields are as read, or as for all tiles. */
export interface RowSaid {
  /** Code, name or recipe. */
  readonly text?: string;
  readonly state?: State;
  readonly take?: boolean;
  /** A block the book does not have yet. */
  readonly newBlock?: boolean;
  /** The text that the user confirmed, though its colour is far from the tile's. */
  readonly sure?: string;
}

/** Photos and their settings before they are accepted, saved on this device. */
export interface PhotoSession {
  readonly photos: readonly PhotoHere[];
  readonly chart: ChartAsked;
  readonly state: State;
  /** By tray and the tile's name in it. */
  readonly rows: Readonly<Record<string, RowSaid>>;
  /** Line of blocks that are new. */
  readonly line: string;
  /** Codes on the tray sheet printed last, by place. */
  readonly printed: readonly string[];
  /** Raw tiles accepted last, by place: the baked ones of the same tray are most likely the same. */
  readonly raws: Readonly<Record<string, RawTile>>;
}

/** What was typed for a raw tile, and the tile it became. */
export interface RawTile {
  readonly text: string;
  readonly tileId: string;
}

const KEY = 'kneadwell photo session';
const EMPTY: PhotoSession = {
  photos: [],
  chart: 'from 2014',
  state: 'baked',
  rows: {},
  line: '',
  printed: [],
  raws: {},
};

let session: PhotoSession = read();
const listeners = new Set<() => void>();

function read(): PhotoSession {
  try {
    const saved = JSON.parse(localStorage.getItem(KEY) ?? 'null') as Partial<PhotoSession> | null;
    if (saved === null || !Array.isArray(saved.photos) || typeof saved.rows !== 'object')
      return EMPTY;
    return { ...EMPTY, ...saved };
  } catch {
    // Without storage the page works all the same.
    return EMPTY;
  }
}

export function photoSessionNow(): PhotoSession {
  return session;
}

export function changePhotoSession(change: (session: PhotoSession) => PhotoSession): void {
  session = change(session);
  try {
    localStorage.setItem(KEY, JSON.stringify(session));
  } catch {
    // Without storage the session lasts until the page is closed.
  }
  for (const listener of listeners) listener();
}

export function changePhoto(draftId: string, part: Partial<PhotoHere>): void {
  changePhotoSession((now) => ({
    ...now,
    photos: now.photos.map((one) => (one.draftId === draftId ? { ...one, ...part } : one)),
  }));
}

export function sayOfRow(key: string, part: RowSaid): void {
  changePhotoSession((now) => ({
    ...now,
    rows: { ...now.rows, [key]: { ...now.rows[key], ...part } },
  }));
}

/** Empties the session, except for what the next photos need too. */
export function clearPhotoSession(): void {
  changePhotoSession(({ chart, line, printed, raws }) => ({
    ...EMPTY,
    ...{ chart, line, printed, raws },
  }));
}

export function usePhotoSession(): PhotoSession {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => session,
  );
}
