import { Link } from '@tanstack/react-router';
import type { Lab } from '../../../core/colour/triples.ts';
import { Tile } from '../../parts/tile.tsx';
import type { TileInSight } from './tiles-in-sight.ts';
import { surprise, whatIsSaid } from './what-is-said.ts';

/** One tile of the list: raw left, baked right; opens the tile, or the block it is a reading of. */
export function TileCell({
  tile,
  predicted,
}: {
  readonly tile: TileInSight;
  readonly predicted: Lab | undefined;
}) {
  const { key, isTile, title, raw, baked } = tile;
  const said = whatIsSaid(tile, predicted);
  const inside = (
    <>
      <span className="side-by-side">
        {raw === undefined ? null : <Tile lab={raw.lab} name={`${title}, raw`} />}
        {baked !== undefined || raw === undefined ? (
          <Tile lab={baked?.lab} name={baked === undefined ? title : `${title}, baked`} />
        ) : null}
      </span>
      <span className="contact-name">{title}</span>
      {said === '' ? null : (
        <span className={surprise(tile, predicted) > 0 ? 'small warning' : 'small soft'}>
          {said}
        </span>
      )}
    </>
  );
  return (
    <li className="mix-link">
      {isTile ? (
        <Link to="/tiles/$id" params={{ id: key }}>
          {inside}
        </Link>
      ) : (
        <Link to="/stock" search={{ block: key }}>
          {inside}
        </Link>
      )}
    </li>
  );
}
