import { lineShift } from '../../../core/verdict/line-shift.ts';
import { Tile } from '../../parts/tile.tsx';
import type { RawBakedOfLine } from './raw-baked-pairs.ts';

const PAIRS_SHOWN = 8;

/** How baking changes the clays of a line, from tiles measured raw and baked. */
export function LineOven({
  name,
  pairs,
}: {
  readonly name: string;
  readonly pairs: readonly RawBakedOfLine[];
}) {
  if (pairs.length === 0) {
    return (
      <p className="soft small">
        Colour change in the oven is unknown. Measure one tile raw and again baked.
      </p>
    );
  }
  const { words, how } = lineShift(pairs);
  return (
    <div className="oven">
      <p>
        {name} {words}: {how}.
      </p>
      <ul className="oven-pairs" aria-label={`Tiles of ${name}, raw and baked`}>
        {pairs.slice(0, PAIRS_SHOWN).map(({ id, name: tile, raw, baked }) => (
          <li key={id} className="recipe-pair">
            <Tile lab={raw} name={`${tile}, raw`} />
            <Tile lab={baked} name={`${tile}, baked`} />
          </li>
        ))}
      </ul>
    </div>
  );
}
