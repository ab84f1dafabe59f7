import { Link } from '@tanstack/react-router';
import { labOfReading } from '../../../domain/records/lab-of-reading.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { Samples } from '../../book/colours.ts';
import { Tile } from '../../parts/tile.tsx';
import { useTileLife } from '../tiles/tile-life.ts';

/** Every tile of a mix or block: raw and baked touch, the facts stand below; each opens. */
export function ItsTiles({ samples, id }: { readonly samples: Samples; readonly id: string }) {
  const { tiles, readings, isPending } = samples;
  const own = readings.filter(({ body }) => body.of.id === id);
  if (isPending) return <p className="soft">Loading …</p>;
  if (tiles.length === 0 && own.length === 0) return <p className="soft">No tile yet.</p>;
  return (
    <ul className="its-tiles">
      {tiles.map((tile) => (
        <ItsTile
          key={tile.id}
          tile={tile}
          readings={readings.filter(({ body }) => body.of.id === tile.id)}
        />
      ))}
      {own.map(({ id: reading, body }) => (
        <li key={reading}>
          <Tile lab={labOfReading(body)} name={body.state} />
          <span className="small soft">{body.state} reading without a tile</span>
        </li>
      ))}
    </ul>
  );
}

function ItsTile({
  tile,
  readings,
}: {
  readonly tile: RecordOf<'tile'>;
  readonly readings: readonly RecordOf<'reading'>[];
}) {
  const life = useTileLife(tile, readings);
  const name = tile.body.code ?? tile.body.name ?? 'Tile';
  return (
    <li>
      <Link to="/tiles/$id" params={{ id: tile.id }}>
        <span className="side-by-side">
          {life.raw === undefined ? null : <Tile lab={life.raw} name={`${name}, raw`} />}
          {life.baked !== undefined || life.raw === undefined ? (
            <Tile lab={life.baked} name={life.baked === undefined ? name : `${name}, baked`} />
          ) : null}
        </span>
        <b className="small">{name}</b>
      </Link>
      <span className="small soft">{life.facts.join(', ')}</span>
    </li>
  );
}
