import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import type { PilesSoFar } from './piles-at.ts';
import { nameOf, type Pins } from './pins.ts';

/** The blocks to buy: each colour over its closest mix, and why that does not do. */
export function BuyPile({
  answer: { buy, neither },
  studio,
  pins,
  onPin,
}: {
  readonly answer: PilesSoFar;
  readonly studio: Studio;
  readonly pins: Pins;
  readonly onPin: (name: string, to: 'always' | 'never' | undefined) => void;
}) {
  return (
    <section className="pile bench across">
      <div className="pile-head">
        <h2>Buy</h2>
        <p className="small">
          {count(buy.length, 'block')}; below each, its closest mix and how that differs
        </p>
      </div>
      <ul className="pile-cells" aria-label="Blocks to buy">
        {buy.map(({ clay, shown, why, closest, instead }) => (
          <li key={clay} className="pile-cell">
            <span className="pile-colours touching">
              <Tile lab={shown} name={nameOf(clay, studio)} />
              {closest === undefined ? null : <Tile lab={closest} name="The closest mix" />}
            </span>
            <b>{nameOf(clay, studio)}</b>
            {why === undefined ? null : <p className="small">{why.short}</p>}
            {pins.has(clay) ? (
              <Button
                kind="quiet"
                aria-label={`No longer always buy ${nameOf(clay, studio)}`}
                onPress={() => onPin(clay, undefined)}
              >
                Let it be mixed
              </Button>
            ) : instead.length > 0 || why?.kind === 'used' || why?.kind === 'no-other' ? (
              <Button
                kind="quiet"
                aria-label={`Do not buy ${nameOf(clay, studio)}`}
                onPress={() => onPin(clay, 'never')}
              >
                Do not buy
              </Button>
            ) : null}
          </li>
        ))}
      </ul>
      {[...pins].some(([, pin]) => pin === 'never') ? (
        <p className="actions">
          {[...pins].map(([name, pin]) =>
            pin === 'never' ? (
              <Button key={name} kind="quiet" onPress={() => onPin(name, undefined)}>
                You do not buy {nameOf(name, studio)}: undo
              </Button>
            ) : null,
          )}
        </p>
      ) : null}
      {buy.some(({ why }) => why !== undefined && why.short !== why.sentence) ? (
        <details>
          <summary>Details</summary>
          <ul className="pile-details">
            {buy.map(({ clay, why }) =>
              why === undefined ? null : (
                <li key={clay}>
                  {nameOf(clay, studio)}: {why.sentence}
                </li>
              ),
            )}
          </ul>
        </details>
      ) : null}
      {neither.map(({ clay, sentence }) => (
        <p key={clay} className="warning">
          {nameOf(clay, studio)}: {sentence}
        </p>
      ))}
    </section>
  );
}
