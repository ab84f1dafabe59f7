import type { ApiAnswer } from '../../../api/routes.ts';
import { Tile } from '../../parts/tile.tsx';

/** A mix as the list of the book gives it. */
export type MixRow = ApiAnswer<'mixList'>['rows'][number];

export function titleOfRow({ name, code }: MixRow): string {
  return name ?? code ?? 'a mix';
}

/** The tile of a mix; its label says when the colour is only predicted. */
export function MixTile({ row }: { readonly row: MixRow }) {
  const predicted = row.readingKind === 'predicted' ? ', predicted' : '';
  return <Tile lab={row.lab} name={`${titleOfRow(row)}${predicted}`} />;
}
