import { Tile } from '../../parts/tile.tsx';
import type { TileInSight } from './tiles-in-sight.ts';

/** The raw and the baked colour side by side, where the tile has both. */
export function RawAndBaked({ tile: { title, raw, baked } }: { tile: TileInSight }) {
  return (
    <div className={raw === undefined || baked === undefined ? 'recipe-one' : 'recipe-pair'}>
      {raw === undefined ? null : <Tile lab={raw.lab} name={`${title}, raw`} />}
      {baked === undefined ? null : <Tile lab={baked.lab} name={`${title}, baked`} />}
    </div>
  );
}
