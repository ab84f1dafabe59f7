import { Link } from '@tanstack/react-router';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { Part } from '../../parts/field.tsx';
import { Scrolled } from '../../parts/scrolled.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import type { Inspected } from './inspected.ts';

type Clay = Inspected['clays'][number];

/** Clays known to within "same" need no more tiles. */
const KNOWN_WELL_DE = 0.8;
const SHOWN = 12;

/** Clays by the uncertainty of their own colour, and the next tile for each. */
export function LeastKnown({ clays }: { readonly clays: readonly Clay[] }) {
  const sorted = clays.toSorted((one, other) => other.plusMinus - one.plusMinus);
  const widest = Math.max(...sorted.map(({ plusMinus }) => plusMinus), 1);
  const wanting = sorted.filter(({ plusMinus }) => plusMinus > KNOWN_WELL_DE);
  return (
    <Part title="Least certain clays" look="learned">
      <p>
        {wanting.length === 0
          ? 'All clays are known well.'
          : `${count(wanting.length, 'clay needs', 'clays need')} more tiles: the longer the bar, the less sure.`}
      </p>
      <ul className="known">
        {sorted.slice(0, SHOWN).map((clay) => (
          <li key={clay.name}>
            <Tile lab={clay.shown} name={clay.name} />
            <div>
              <b className="serif">{clay.name}</b>
              <span
                className="known-bar"
                aria-hidden="true"
                style={{ width: `${(100 * clay.plusMinus) / widest}%` }}
              />
            </div>
          </li>
        ))}
      </ul>
      <div className="actions">
        <Link className="button" to="/tiles">
          Suggest tiles to bake
        </Link>
      </div>
      <details>
        <summary>All {sorted.length} clays in a table</summary>
        <Scrolled label="Clays and their uncertainty">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">Clay</th>
                <th scope="col">±, dE00</th>
                <th scope="col">Readings</th>
                <th scope="col">Data from</th>
                <th scope="col">What helps</th>
              </tr>
            </thead>
            <tbody>
              {sorted.map((clay) => (
                <tr key={clay.name}>
                  <th scope="row">{clay.name}</th>
                  <td className="number">
                    {clay.plusMinus.toFixed(2)} ({verdictWord(clay.plusMinus)})
                  </td>
                  <td className="number">{clay.tiles}</td>
                  <td>{clay.knownFrom}</td>
                  <td>{clay.advice}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Scrolled>
      </details>
    </Part>
  );
}
