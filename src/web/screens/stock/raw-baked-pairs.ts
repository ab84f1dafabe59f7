import { useMemo } from 'react';
import type { RawBakedPair } from '../../../core/verdict/line-shift.ts';
import { spreadOfKind } from '../../../domain/records/reading-kind.ts';
import { type TileInList, useAllTiles } from '../../book/all-tiles.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';

type Read = NonNullable<TileInList['raw']>;

export interface RawBakedOfLine extends RawBakedPair {
  readonly id: string;
  readonly name: string;
}

/** Tiles measured raw and baked, by the line of all their clays; a tile of two lines is left out. */
export function useRawBakedPairs(): ReadonlyMap<string, readonly RawBakedOfLine[]> {
  const blocks = useAll('block').byId;
  const { nameOf } = useBlockNames();
  const data = useAllTiles();
  return useMemo(() => {
    const byLine = new Map<string, RawBakedOfLine[]>();
    for (const { id, kind, code, name, of, parts, raw, baked } of rawBesideBaked(data ?? [])) {
      const own = kind === 'block' ? id : of?.kind === 'block' ? of.id : undefined;
      const clays = own === undefined ? (parts?.map((part) => part.of.id) ?? []) : [own];
      const lines = new Set(clays.map((clay) => blocks.get(clay)?.body.lineId));
      const [line] = lines;
      if (lines.size !== 1 || line === undefined) continue;
      const spread = Math.hypot(spreadOf(raw), spreadOf(baked)) / Math.SQRT2;
      const title = code ?? name ?? (own === undefined ? 'A tile' : nameOf(own));
      const list = byLine.get(line) ?? [];
      list.push({ id, name: title, raw: raw.lab, baked: baked.lab, spread });
      byLine.set(line, list);
    }
    return byLine;
  }, [data, blocks, nameOf]);
}

type Paired<R extends ReadRow> = R & Required<Pick<R, 'raw' | 'baked'>>;
type ReadRow = Pick<TileInList, 'id' | 'kind' | 'of' | 'raw' | 'baked'>;

/**
 * Rows read raw and baked; a colour read raw of a block itself goes with the newest of its plain tiles
 * that was read baked alone.
 */
export function rawBesideBaked<R extends ReadRow>(rows: readonly R[]): readonly Paired<R>[] {
  const rawOf = new Map<string, NonNullable<R['raw']>>();
  for (const { id, kind, raw, baked } of rows) {
    if (kind === 'block' && raw !== undefined && baked === undefined) rawOf.set(id, raw);
  }
  return rows.flatMap((row) => {
    const { baked, of } = row;
    if (baked === undefined) return [];
    const own = row.kind === 'tile' && of?.kind === 'block' ? of.id : undefined;
    const raw = row.raw ?? (own === undefined ? undefined : rawOf.get(own));
    if (raw === undefined) return [];
    if (row.raw === undefined && own !== undefined) rawOf.delete(own);
    return [{ ...row, raw, baked } as Paired<R>];
  });
}

function spreadOf({ readingKind, override }: Read): number {
  return spreadOfKind(override === true ? 'by eye' : readingKind);
}
