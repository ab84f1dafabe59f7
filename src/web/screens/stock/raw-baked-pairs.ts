import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { ApiAnswer } from '../../../api/routes.ts';
import type { RawBakedPair } from '../../../core/verdict/line-shift.ts';
import { spreadOfKind } from '../../../domain/records/reading-kind.ts';
import { client } from '../../book/client.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';

type Row = ApiAnswer<'tileList'>['rows'][number];
type Read = NonNullable<Row['raw']>;

const PAGE = 400;
/** The newest tiles only: years ago it was another oven or another lot. */
const MOST_TILES = 2000;

export interface RawBakedOfLine extends RawBakedPair {
  readonly id: string;
  readonly name: string;
}

/** Tiles measured raw and baked, by the line of all their clays; a tile of two lines is left out. */
export function useRawBakedPairs(): ReadonlyMap<string, readonly RawBakedOfLine[]> {
  const blocks = useAll('block').byId;
  const { nameOf } = useBlockNames();
  const { data } = useQuery({ queryKey: ['tiles', 'raw and baked'], queryFn: rawBakedRows });
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
type ReadRow = Pick<Row, 'id' | 'kind' | 'of' | 'raw' | 'baked'>;

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

async function rawBakedRows(): Promise<readonly Row[]> {
  const rows: Row[] = [];
  let sheet: string | undefined;
  for (let from = 0; from < MOST_TILES; from += PAGE) {
    const { body } = await client.call('tileList', {
      query: { from, limit: PAGE, ...(sheet === undefined ? {} : { sheet }) },
    });
    sheet = body.sheet;
    rows.push(...body.rows);
    if (from + PAGE >= body.total) break;
  }
  return rows;
}

function spreadOf({ readingKind, override }: Read): number {
  return spreadOfKind(override === true ? 'by eye' : readingKind);
}
