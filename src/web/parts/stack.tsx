import './stack.css';
import type { ReactNode } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { Chips } from './chips.tsx';
import { Tile, Unshown } from './tile.tsx';

/** One colour of a stack. */
export interface Layer {
  /** `Wanted`, `Predicted`, `Raw`, `Baked` ... */
  readonly name: string;
  /** Which colour exactly, in few words: "Sea moss", "tile of 10 January". */
  readonly note?: string | undefined;
  readonly lab: Lab | undefined;
  /** Of a prediction: its ± is drawn as chips. */
  readonly covariance?: ArrayLike<number> | undefined;
  /** The colour is still being worked out. */
  readonly coming?: boolean;
}

/**
 * Colours to be compared, as layers that touch over the whole width; names in a column beside them. On a
 * phone two layers take the whole width, and their names stand above. `children` is the lowest row, as
 * wide as the layers: the pieces.
 */
export function Stack({
  layers,
  foot,
  children,
}: {
  readonly layers: readonly Layer[];
  /** Name and note beside the lowest row. */
  readonly foot?: Pick<Layer, 'name' | 'note'>;
  readonly children?: ReactNode;
}) {
  const few = layers.length <= 2;
  return (
    <div className="layers" data-few={few || undefined}>
      {few ? (
        <p className="layers-names small" aria-hidden="true">
          {layers.map(({ name, note }, i) => (
            <span key={name}>
              {i === 0 ? '' : ', below: '}
              <strong>{name}</strong>
              {note === undefined ? '' : ` ${note}`}
            </span>
          ))}
        </p>
      ) : null}
      {layers.map(({ name, note, lab, covariance, coming = false }) => (
        <div key={name} className="layer">
          <div className="layer-name">
            {/* The picture beside it and its chips say the same to screen readers. */}
            <strong aria-hidden="true">{name}</strong>
            {note === undefined ? null : (
              <span className="small" aria-hidden="true">
                {note}
              </span>
            )}
            <Unshown lab={lab} />
            {covariance === undefined ? null : (
              <span className="layer-may small" aria-hidden="true">
                It may come out
              </span>
            )}
          </div>
          <div className="layer-colour">
            <Tile lab={lab} name={note === undefined ? name : `${name}, ${note}`} coming={coming} />
            {lab === undefined || covariance === undefined ? null : (
              <Chips lab={lab} covariance={covariance} />
            )}
          </div>
        </div>
      ))}
      {children === undefined ? null : (
        <div className="layer layer-foot">
          <div className="layer-name">
            {foot === undefined ? null : (
              <>
                <strong>{foot.name}</strong>
                {foot.note === undefined ? null : <span className="small">{foot.note}</span>}
              </>
            )}
          </div>
          <div className="layer-under">{children}</div>
        </div>
      )}
    </div>
  );
}
