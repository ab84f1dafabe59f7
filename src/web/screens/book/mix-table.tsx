import { Link } from '@tanstack/react-router';
import { useEffect, useState } from 'react';
import { useColours } from '../../book/colours.ts';
import type { ListHere } from '../../book/list.ts';
import { useBlockNames } from '../../book/names.ts';
import { Pieces } from '../../parts/pieces.tsx';
import { Scrolled } from '../../parts/scrolled.tsx';
import { TurnPages } from '../../parts/turn-pages.tsx';
import { type MixRow, MixTile, titleOfRow } from './mix-tile.tsx';

const ROWS = 100;

/** The same order as the tiles, a hundred rows at a time. */
export function MixTable({
  sheet,
  total,
  startAt,
  onPlace,
}: {
  readonly sheet: ListHere<MixRow>;
  readonly total: number;
  readonly startAt: number;
  readonly onPlace: (index: number) => void;
}) {
  const [page, setPage] = useState(Math.floor(startAt / ROWS));
  const shown = Math.min(page, Math.max(1, Math.ceil(total / ROWS)) - 1);
  const from = shown * ROWS;
  const to = Math.min(total, from + ROWS);
  const { want } = sheet;
  useEffect(() => {
    want(from, to);
    onPlace(from);
  }, [want, onPlace, from, to]);
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const turn = (where: 'above' | 'below') => (
    <TurnPages key={`${where} ${shown}`} each={ROWS} total={total} page={shown} onTurn={setPage} />
  );
  return (
    <div className="stack">
      {turn('above')}
      <Scrolled label="Mixes as a table">
        <table className="table" aria-rowcount={total + 1}>
          <thead>
            <tr>
              <th>Tile</th>
              <th>Code</th>
              <th>Name</th>
              <th>Parts</th>
              <th>Tags</th>
            </tr>
          </thead>
          <tbody>
            {Array.from({ length: to - from }, (_, i) => {
              const row = sheet.at(from + i);
              if (row === undefined || row.gone) {
                return (
                  // biome-ignore lint/suspicious/noArrayIndexKey: a place without a mix is its place
                  <tr key={from + i} aria-rowindex={from + i + 2}>
                    <td>
                      <span className="tile no-colour" />
                    </td>
                    <td colSpan={4} className="soft">
                      {row === undefined ? 'Loading' : 'Deleted'}
                    </td>
                  </tr>
                );
              }
              return (
                <tr key={row.id} aria-rowindex={from + i + 2}>
                  <td>
                    <MixTile row={row} />
                  </td>
                  <td className="code">{row.code ?? ''}</td>
                  <td>
                    <Link to="/book/$id" params={{ id: row.id }}>
                      {titleOfRow(row)}
                    </Link>
                  </td>
                  <td>
                    <Pieces
                      size="card"
                      groups={(row.parts ?? []).map(({ of, parts, name, lab }) => ({
                        id: of.id,
                        name: of.kind === 'block' ? nameOf(of.id) : (name ?? 'a mix'),
                        lab: of.kind === 'block' ? colours.of(of.id)?.lab : lab,
                        parts,
                      }))}
                    />
                  </td>
                  <td>{(row.tags ?? []).join(', ')}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </Scrolled>
      {to - from > 12 ? turn('below') : null}
    </div>
  );
}
