import { useMemo } from 'react';
import { labOfReading } from '../../contract/book/lab-of-reading.ts';
import type { RecordOf } from '../../contract/book/record.ts';
import type { ReadingKind } from '../../contract/reading-kind.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { useAll } from './queries.ts';

/** A colour of a block, mix or tile, and how it is known. */
export interface KnownColour {
  readonly lab: Lab;
  readonly got: ReadingKind | 'foretold';
  readonly state: 'raw' | 'baked';
  readonly spread: number;
  readonly readingId?: string;
  readonly photoId?: string;
}

/** Surest first. */
const ORDER: readonly ReadingKind[] = ['measured', 'borrowed', 'by eye', 'rough', 'claimed'];

export interface ColoursOfBook {
  /** The surest colour of a block, mix or tile; baked before raw. */
  of(id: string): KnownColour | undefined;
  /** Every reading of a block, mix or tile, the surest first; a mix has those of its tiles. */
  readingsOf(id: string): readonly RecordOf<'reading'>[];
  readonly isPending: boolean;
}

/** Colours of everything that was read, by what they belong to. */
export function useColours(): ColoursOfBook {
  const readings = useAll('reading');
  const tiles = useAll('tile');
  return useMemo(() => {
    const byOwner = new Map<string, RecordOf<'reading'>[]>();
    const add = (id: string, reading: RecordOf<'reading'>) => {
      const list = byOwner.get(id);
      if (list === undefined) byOwner.set(id, [reading]);
      else list.push(reading);
    };
    for (const reading of readings.records) {
      add(reading.body.of.id, reading);
      const tile = tiles.byId.get(reading.body.of.id);
      if (tile !== undefined && 'id' in tile.body.of) add(tile.body.of.id, reading);
    }
    const rank = ({ body }: RecordOf<'reading'>) =>
      (body.state === 'baked' ? 0 : 10) +
      ORDER.indexOf(body.overruled?.lab === undefined ? body.got : 'by eye');
    for (const list of byOwner.values()) list.sort((one, other) => rank(one) - rank(other));
    return {
      of(id) {
        for (const reading of byOwner.get(id) ?? []) {
          const lab = labOfReading(reading.body);
          if (lab === undefined) continue;
          const { got, state, spread, photoId } = reading.body;
          return {
            lab,
            got,
            state,
            spread,
            readingId: reading.id,
            ...(photoId === undefined ? {} : { photoId }),
          };
        }
        return undefined;
      },
      readingsOf: (id) => byOwner.get(id) ?? [],
      isPending: readings.isPending || tiles.isPending,
    };
  }, [readings.records, readings.isPending, tiles.byId, tiles.isPending]);
}
