import { useSyncExternalStore } from 'react';
import type { JobCall } from '../../api/job-routes.ts';
import type { Point } from '../../core/photo/plane-view.ts';
import type { Corners } from '../../domain/photo-result.ts';

type ReadCall = Extract<JobCall, { do: 'read-photo' }>;
export type ChartAsked = ReadCall['chart'];
export type SheetAsked = ReadCall['sheet'];
export type State = 'raw' | 'baked';

export interface Tap {
  readonly name: string;
  readonly at: Point;
}

/** A photo that lies ready, and how it is to be read. */
export interface PhotoHere {
  readonly draftId: string;
  readonly fileName: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Photos of one tray show the same tiles; numbered from 1. */
  readonly tray: number;
  readonly sheet: SheetAsked;
  readonly corners?: Corners;
  readonly taps: readonly Tap[];
  readonly controls: ReadCall['controls'];
  /** The newest reading of it that was asked for. */
  readonly jobId?: string;
  /** Why no reading of it could be asked for. */
  readonly unread?: string | undefined;
}

/** What she says of one tile; whatever is absent is as it is read or as all are. */
export interface RowSaid {
  /** Code, name or recipe. */
  readonly text?: string;
  readonly state?: State;
  readonly take?: boolean;
  /** It is a block the book does not have yet. */
  readonly newBlock?: boolean;
}

/** All that is done to photos before they are accepted; it outlives the page on this device. */
export interface PhotoSession {
  readonly photos: readonly PhotoHere[];
  readonly chart: ChartAsked;
  readonly state: State;
  /** By tray and the tile's name in it. */
  readonly rows: Readonly<Record<string, RowSaid>>;
  /** Line of blocks that are new. */
  readonly line: string;
  /** Codes on the sheet that was printed last, by place. */
  readonly printed: readonly string[];
}

const KEY = 'kneadwell photo desk';
const EMPTY: PhotoSession = {
  photos: [],
  chart: 'from 2014',
  state: 'baked',
  rows: {},
  line: '',
  printed: [],
};

let desk: PhotoSession = read();
const hearers = new Set<() => void>();

function read(): PhotoSession {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? 'null') as Partial<PhotoSession> | null;
    if (kept === null || !Array.isArray(kept.photos) || typeof kept.rows !== 'object') return EMPTY;
    return { ...EMPTY, ...kept };
  } catch {
    // A browser that keeps nothing works all the same.
    return EMPTY;
  }
}

export function photoSessionNow(): PhotoSession {
  return desk;
}

export function changePhotoSession(turn: (desk: PhotoSession) => PhotoSession): void {
  desk = turn(desk);
  try {
    localStorage.setItem(KEY, JSON.stringify(desk));
  } catch {
    // As above: it holds until the page is closed.
  }
  for (const hear of hearers) hear();
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

/** Empty, but for what holds for her next photo too. */
export function clearPhotoSession(): void {
  changePhotoSession(({ chart, line, printed }) => ({ ...EMPTY, chart, line, printed }));
}

export function usePhotoSession(): PhotoSession {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => desk,
  );
}
