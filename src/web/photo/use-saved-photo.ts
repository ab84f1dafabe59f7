import { useQueries, useQuery } from '@tanstack/react-query';
import { useEffect, useRef, useState } from 'react';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { recordQuery } from '../book/queries.ts';
import { readAsOf } from './accept-photos.ts';
import { type ReadSettings, readSaved } from './read-saved.ts';
import { againSteps, pairReadings, type SavedReading } from './saved-again.ts';

const MOST = 500;

export interface NamedReading {
  readonly reading: SavedReading;
  readonly title: string;
}

/** The readings of a saved photo, oldest first, with the names of their tiles. */
export function useReadingsOf(photoId: string): {
  readonly readings: readonly NamedReading[];
  readonly isPending: boolean;
} {
  const { data = [], isPending } = useQuery({
    queryKey: ['samples', 'of photo', photoId],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { kind: 'reading', uses: photoId, sort: 'created', limit: MOST },
      });
      return ofKind(body.records, 'reading');
    },
  });
  const { nameOf } = useBlockNames();
  const ids = [...new Set(data.map(({ body }) => body.of.id))];
  const found = useQueries({ queries: ids.map(recordQuery) });
  const readings = data.map((reading) => {
    const record = found[ids.indexOf(reading.body.of.id)]?.data;
    return { reading, title: record === undefined ? 'a tile' : titleOf(record, nameOf) };
  });
  return { readings, isPending };
}

function titleOf(record: BookRecord, nameOf: (id: string) => string): string {
  if (record.kind === 'block') return nameOf(record.id);
  if (record.kind === 'mix') return titleOfMix(record as RecordOf<'mix'>);
  if (record.kind === 'tile') return record.body.code ?? record.body.name ?? 'a tile';
  return 'a tile';
}

export interface Again {
  readonly how: ReadSettings;
  readonly photoResult: PhotoResult | undefined;
  /** By the id of the reading. */
  readonly pairs: ReadonlyMap<string, TileResult>;
  readonly running: boolean;
  readonly no: string | undefined;
  readonly read: (how: ReadSettings) => void;
  readonly stop: () => void;
  readonly forget: () => void;
  /** Saves the new readings of these; true if that succeeded. */
  readonly take: (readings: readonly SavedReading[]) => Promise<boolean>;
}

/** Reads a saved photo again; nothing changes until the new readings are accepted. */
export function useAgain(photo: RecordOf<'photo'>, readings: readonly SavedReading[]): Again {
  const { readAs = {} } = photo.body;
  const [how, setHow] = useState<ReadSettings>({
    sheet: readAs.sheet ?? 'any',
    chart: readAs.chart ?? 'from 2014',
    ...(readAs.chartAt === undefined ? {} : { chartAt: readAs.chartAt }),
    ...(readAs.corners === undefined ? {} : { corners: readAs.corners }),
  });
  const [photoResult, setPhotoResult] = useState<PhotoResult | undefined>();
  const [running, setRunning] = useState(false);
  const [no, setNo] = useState<string | undefined>();
  const reading = useRef<AbortController | undefined>(undefined);
  useEffect(() => () => reading.current?.abort(), []);
  const pairs = photoResult === undefined ? new Map() : pairReadings(readings, photoResult);
  const read = async (next: ReadSettings) => {
    reading.current?.abort();
    const mine = new AbortController();
    reading.current = mine;
    setHow(next);
    setNo(undefined);
    setRunning(true);
    try {
      const answer = await readSaved(photo.id, readings, next, mine.signal);
      if (reading.current !== mine) return;
      if ('no' in answer) setNo(answer.no);
      else setPhotoResult(answer.photoResult);
    } catch (fault) {
      if (reading.current === mine) setNo(wordsOf(fault));
    } finally {
      if (reading.current === mine) setRunning(false);
    }
  };
  const take = async (taken: readonly SavedReading[]) => {
    if (photoResult === undefined) return false;
    setNo(undefined);
    const found = taken.flatMap((one) => {
      const tile = pairs.get(one.id);
      return tile === undefined ? [] : [[one, tile] as const];
    });
    const tiles = `${found.length} ${found.length === 1 ? 'tile' : 'tiles'}`;
    const name = photo.body.name ?? photo.body.fileName ?? 'a photo';
    try {
      await sendChange(
        `Read ${tiles} of ${name} again`,
        againSteps(photo, readAsOf(how, how.chart), found, photoResult, new Date().toISOString()),
      );
      setPhotoResult(undefined);
      return true;
    } catch (fault) {
      setNo(wordsOf(fault));
      return false;
    }
  };
  return {
    how,
    photoResult,
    pairs,
    running,
    no,
    read: (next) => void read(next),
    stop: () => reading.current?.abort(),
    forget: () => setPhotoResult(undefined),
    take,
  };
}
