import type { ApiAnswer } from '../../../api/routes.ts';
import { usePredictionNow } from '../../book/mix-colour.ts';
import { Tile } from '../../parts/tile.tsx';

/** A mix as the list of the book gives it. */
export type MixRow = ApiAnswer<'mixList'>['rows'][number];

export function titleOfRow({ name, code }: MixRow): string {
  return name ?? code ?? 'a mix';
}

/** The tile of a mix; its label says when the colour is only predicted. */
export function MixTile({ row }: { readonly row: MixRow }) {
  if (row.lab === undefined && row.parts !== undefined) return <PredictedTile row={row} />;
  const predicted = row.readingKind === 'predicted' ? ', predicted' : '';
  return <Tile lab={row.lab} name={`${titleOfRow(row)}${predicted}`} />;
}

/** Clays are opened only where a mix has no colour of its own yet. */
function PredictedTile({ row }: { readonly row: MixRow }) {
  const { lab, coming } = usePredictionNow(
    row.parts === undefined || row.basis === undefined
      ? undefined
      : { basis: row.basis, parts: row.parts },
  );
  const predicted = lab === undefined ? '' : ', predicted';
  return <Tile lab={lab} coming={coming} name={`${titleOfRow(row)}${predicted}`} />;
}
