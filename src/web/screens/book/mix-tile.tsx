import type { ApiAnswer } from '../../../api/routes.ts';
import { useForetoldNow } from '../../book/mix-colour.ts';
import { Tile } from '../../parts/tile.tsx';

/** A mix as the book's sheet gives it. */
export type MixRow = ApiAnswer<'mixSheet'>['rows'][number];

export function titleOfRow({ name, code }: MixRow): string {
  return name ?? code ?? 'a mix';
}

/** The tile of a mix; what is foretold and not read is said to ears. */
export function MixTile({ row }: { readonly row: MixRow }) {
  if (row.lab === undefined && row.parts !== undefined) return <ForetoldTile row={row} />;
  const foretold = row.got === 'foretold' ? ', foretold' : '';
  return <Tile lab={row.lab} name={`${titleOfRow(row)}${foretold}`} />;
}

/** Clays are opened only where a mix has no colour of its own yet. */
function ForetoldTile({ row }: { readonly row: MixRow }) {
  const { lab, coming } = useForetoldNow(row.parts);
  const foretold = lab === undefined ? '' : ', foretold';
  return <Tile lab={lab} coming={coming} name={`${titleOfRow(row)}${foretold}`} />;
}
