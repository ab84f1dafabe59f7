import type { Lab } from '../../../core/colour/triples.ts';
import type { LadderAnswer } from '../../../verbs/ladder.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';

/** Width of the slab on the picture, mm; any other width is cut at the same lengths. */
const WIDE_MM = 100;

/** A slab of two colours with its cut, drawn and printed at its true size, and the lengths to measure. */
export function SheetToCut({
  sheet: { lengthMm, firstMm, off },
  names: [first, last],
  ends: [from, to],
}: {
  readonly sheet: LadderAnswer['sheet'];
  readonly names: readonly [string, string];
  readonly ends: readonly [Lab | undefined, Lab | undefined];
}) {
  useWiderScreen();
  const colour = (lab: Lab | undefined) => (lab === undefined ? 'none' : screenColour(lab).css);
  const step = WIDE_MM / (firstMm.length - 1);
  const rows = firstMm.map((mm, i) => ({
    across: Math.round((100 * i) / (firstMm.length - 1)),
    mm,
  }));
  const cut = firstMm.map((mm, i) => `${(i * step).toFixed(2)},${mm}`).join(' ');
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
        viewBox={`0 0 ${WIDE_MM} ${lengthMm}`}
        role="img"
        aria-label={`A slab ${lengthMm} mm long: ${first} above the cut, ${last} below`}
      >
        <rect width={WIDE_MM} height={lengthMm} fill={colour(to)} />
        <polygon points={`0,0 ${cut} ${WIDE_MM},0`} fill={colour(from)} />
        <polyline points={cut} className="sheet-cut" />
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
          {rows.map(({ across, mm }) => (
            <tr key={across}>
              <th scope="row">{across} %</th>
              <td>{mm} mm</td>
              <td>{lengthMm - mm} mm</td>
            </tr>
          ))}
        </tbody>
      </table>
      {off <= 2 ? null : (
        <p className="small soft">
          One of the two is very strong, so the sheet will not be quite even. A longer slab helps.
        </p>
      )}
    </div>
  );
}
