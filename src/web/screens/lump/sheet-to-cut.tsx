import type { Lab } from '../../../core/colour/triples.ts';
import type { LadderAnswer } from '../../../verbs/ladder.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';

/** A slab of two colours with its cut, drawn and printed at its true size, and the lengths to measure. */
export function SheetToCut({
  sheet: { sideMm, cut, off },
  names: [first, last],
  ends: [from, to],
}: {
  readonly sheet: LadderAnswer['sheet'];
  readonly names: readonly [string, string];
  readonly ends: readonly [Lab | undefined, Lab | undefined];
}) {
  useWiderScreen();
  const colour = (lab: Lab | undefined) => (lab === undefined ? 'none' : screenColour(lab).css);
  const line = cut.map(({ acrossMm, firstMm }) => `${acrossMm},${firstMm}`).join(' ');
  return (
    <div className="stack">
      <ol className="sheet-how">
        <li>
          Roll both colours to the same thickness. Cut them along the line, and lay them together as
          one slab.
        </li>
        <li>Fold it bottom to top, and roll it, fold first. Always the same way.</li>
        <li>Repeat until no stripe is left, 20 to 30 times.</li>
      </ol>
      <svg
        className="sheet-slab"
        viewBox={`0 0 ${sideMm} ${sideMm}`}
        role="img"
        aria-label={`A square slab of ${sideMm} mm: ${first} above the cut, ${last} below`}
      >
        <rect width={sideMm} height={sideMm} fill={colour(to)} />
        <polygon points={`0,0 ${line} ${sideMm},0`} fill={colour(from)} />
        <polyline points={line} className="sheet-cut" />
      </svg>
      <table className="table sheet-lengths">
        <thead>
          <tr>
            <th scope="col">Across</th>
            <th scope="col">{first}</th>
            <th scope="col">{last}</th>
          </tr>
        </thead>
        <tbody>
          {cut.map(({ acrossMm, firstMm }) => (
            <tr key={acrossMm}>
              <th scope="row">{acrossMm} mm</th>
              <td>{firstMm} mm</td>
              <td>{sideMm - firstMm} mm</td>
            </tr>
          ))}
        </tbody>
      </table>
      {off <= 2 ? null : (
        <p className="small soft">
          One of the two is very strong, so the sheet will not be quite even. A larger slab helps.
        </p>
      )}
    </div>
  );
}
