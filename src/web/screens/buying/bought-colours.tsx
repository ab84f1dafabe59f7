import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { BuyingListAnswer } from '../../../verbs/buying-list-question.ts';
import type { OpenClays } from '../../book/clays.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { groupsOfHand } from '../lump/hand-of-mix.ts';

/** Each wanted colour over its mix, with the pieces of the mix; or why there is none. */
export function BoughtColours({
  answer: { colours },
  clays,
  studio,
}: {
  readonly answer: BuyingListAnswer;
  readonly clays: OpenClays;
  readonly studio: Studio;
}) {
  return (
    <section className="pile bench across">
      <div className="pile-head">
        <h2>Colours</h2>
        <p className="small">{count(colours.length, 'colour')}; above as wanted, below as mixed</p>
      </div>
      <ul className="pile-cells" data-wide aria-label="Colours">
        {colours.map(({ colour, lab, recipe, mixed, dE00, why }, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: two colours may have one name
          <li key={at} className="pile-cell">
            <span className="pile-colours touching">
              <Tile lab={lab} name={`${colour} as wanted`} />
              {mixed === undefined ? null : <Tile lab={mixed} name="As mixed" />}
            </span>
            {recipe === undefined ? null : (
              <Pieces
                size="card"
                groups={groupsOfHand(handOfRecipe(recipe, studio), clays, studio)}
              />
            )}
            <p>
              <b>{colour}</b>{' '}
              {dE00 === undefined ? null : (
                <span className="small">{verdictHead(verdictWord(dE00)).toLowerCase()}</span>
              )}
            </p>
            {why === undefined ? null : <p className="small warning">{why}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
