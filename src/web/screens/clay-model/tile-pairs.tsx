import { Link } from '@tanstack/react-router';
import type { Lab } from '../../../core/colour/triples.ts';
import { Tile } from '../../parts/tile.tsx';

interface TilePair {
  readonly tile: string;
  readonly read: Lab;
  readonly lab: Lab;
  /** The record of the tile, where it can be opened. */
  readonly id?: string | undefined;
}

/** Tiles as measured and, touching below, as the other tiles predict them. */
export function TilePairs({
  label,
  pairs,
}: {
  readonly label: string;
  readonly pairs: readonly TilePair[];
}) {
  return (
    <ul className="bench swatches" data-size="small" aria-label={label}>
      {pairs.map(({ tile, read, lab, id }) => (
        <li key={tile} className="sample">
          <div className="recipe-pair">
            <Tile lab={read} name={`${tile}, measured`} />
            <Tile lab={lab} name={`${tile}, predicted from the other tiles`} />
          </div>
          <span className="small">
            {id === undefined ? (
              tile
            ) : (
              <Link to="/tiles/$id" params={{ id }}>
                {tile}
              </Link>
            )}
          </span>
        </li>
      ))}
    </ul>
  );
}
