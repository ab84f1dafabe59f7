import { useState } from 'react';
import {
  sideInWords,
  sidesOf,
  VERDICT_LIMITS,
  verdictWord,
} from '../../../core/verdict/verdict.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { Scrolled } from '../../parts/scrolled.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import type { Report } from './inspected.ts';
import { TilePairs } from './tile-pairs.tsx';

type LeftOut = Report['leaveOneOut'][number];

const FIRST_SHOWN = 12;
const WORDS = [...VERDICT_LIMITS.map(([word]) => word), 'different'] as const;

/** Each tile as measured, beside the prediction from all the others; the largest difference first. */
export function PredictionErrors({
  report,
  few,
}: {
  readonly report: Report;
  /** Too few tiles to predict one from the others. */
  readonly few: boolean;
}) {
  const [all, setAll] = useState(false);
  const every = report.leaveOneOut.toSorted((one, other) => other.dE00 - one.dE00);
  const mixes = every.filter(({ role }) => role === 'mix');
  // The other tiles hardly show the only plain tile of a clay, so its error says little of recipes.
  const tiles = mixes.length > 0 ? mixes : every;
  const plain = mixes.length > 0 ? every.length - mixes.length : 0;
  const mean = tiles.reduce((sum, { dE00 }) => sum + dE00, 0) / tiles.length;
  const kinds = WORDS.map((word) => ({
    word,
    tiles: tiles.filter(({ dE00 }) => verdictWord(dE00) === word),
  }));
  const good = kinds[0].tiles.length + kinds[1].tiles.length;
  return (
    <Part title="Predicted and measured" look="learned">
      <p>
        Predicted from all the other tiles, {good} of{' '}
        {count(
          tiles.length,
          mixes.length > 0 ? 'mix' : 'reading',
          mixes.length > 0 ? 'mixes' : 'readings',
        )}{' '}
        came out the same or a match.
        {few ? ' With few tiles per clay, predictions are rough; more tiles will help.' : ''}
      </p>
      <ErrorsBySize kinds={kinds} />
      <h3>{all ? 'All of them' : 'Largest differences'}: measured above, predicted below</h3>
      <TilePairs
        label="Measured above, predicted below"
        pairs={tiles.slice(0, all ? tiles.length : FIRST_SHOWN)}
      />
      {tiles.length <= FIRST_SHOWN ? null : (
        <div className="actions">
          <Button kind="quiet" onPress={() => setAll(!all)}>
            {all ? 'Show fewer' : `Show all ${tiles.length}`}
          </Button>
        </div>
      )}
      <details>
        <summary>Details</summary>
        <p>
          On average, {averageInWords(mean)}.
          {plain === 0
            ? ''
            : ` ${count(plain, 'reading')} of plain tiles ${plain === 1 ? 'is' : 'are'} not counted, because the other tiles hardly show a plain clay.`}
        </p>
        <Scrolled label="Tiles: measured and predicted">
          <table className="table">
            <thead>
              <tr>
                <th scope="col">Tile</th>
                <th scope="col">Measured, L* a* b*</th>
                <th scope="col">Predicted, L* a* b*</th>
                <th scope="col">Difference, dE00</th>
                <th scope="col">In words</th>
              </tr>
            </thead>
            <tbody>
              {tiles.map((tile) => (
                <tr key={tile.tile}>
                  <th scope="row">{tile.tile}</th>
                  <td className="number">{tile.read.map((v) => v.toFixed(1)).join('  ')}</td>
                  <td className="number">{tile.lab.map((v) => v.toFixed(1)).join('  ')}</td>
                  <td className="number">{tile.dE00.toFixed(2)}</td>
                  <td>{saidOf(tile)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Scrolled>
      </details>
    </Part>
  );
}

function said(word: string): string {
  return word === 'family' ? 'same family' : word;
}

/** How a tile compares with its prediction on average. */
function averageInWords(mean: number): string {
  const words = {
    same: 'a tile is as predicted',
    match: 'a tile matches its prediction',
    close: 'a tile is close to its prediction',
    family: 'a tile is of the same family as its prediction',
    different: 'a tile differs from its prediction',
  };
  return words[verdictWord(mean)];
}

/** Tiles grouped by verdict, each in its own colour. */
function ErrorsBySize({
  kinds,
}: {
  readonly kinds: readonly { readonly word: string; readonly tiles: readonly LeftOut[] }[];
}) {
  return (
    <ul className="bench errors-by-size" aria-label="Tiles by prediction error">
      {kinds.map(({ word, tiles }) => (
        <li key={word}>
          <span className="errors-of-a-kind" aria-hidden="true">
            {tiles.map((tile) => (
              <Tile key={tile.tile} lab={tile.read} name={tile.tile} />
            ))}
          </span>
          <span>
            <b>{tiles.length}</b> {said(word)}
          </span>
        </li>
      ))}
    </ul>
  );
}

function saidOf({ lab, read, dE00 }: LeftOut): string {
  const [side] = sidesOf(lab, read);
  const word = verdictWord(dE00);
  return word === 'same'
    ? 'the same'
    : `${said(word)}; measured ${sideInWords(side)} than predicted`;
}
