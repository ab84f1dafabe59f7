import type { Lab } from '../../core/colour/triples.ts';
import { ChipBand } from './chip-band.tsx';
import { Tile, Unshown } from './tile.tsx';

/** The colour wanted and the predicted one, touching along their long edge. */
export function AimAndPrediction({
  aim,
  made,
  aimName = 'Colour you want',
  madeName = 'This mix',
}: {
  readonly aim: Lab | undefined;
  readonly made: { readonly lab: Lab; readonly covariance?: ArrayLike<number> } | undefined;
  readonly aimName?: string;
  readonly madeName?: string;
}) {
  const tile = <Tile lab={made?.lab} name={madeName} />;
  return (
    <div className="pair">
      <div className="pair-aim">
        <Tile lab={aim} name={aimName} />
      </div>
      <div className="pair-made">
        {made?.covariance === undefined ? (
          tile
        ) : (
          <ChipBand lab={made.lab} covariance={made.covariance}>
            {tile}
          </ChipBand>
        )}
      </div>
      <div className="pair-caption pair-caption-aim">
        <span className="sample-name">{aimName}</span> <Unshown lab={aim} />
      </div>
      <div className="pair-caption">
        <span className="sample-name">{madeName}</span>{' '}
        {made === undefined ? null : <Unshown lab={made.lab} />}
      </div>
    </div>
  );
}
