import { Link } from '@tanstack/react-router';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { chanceInWords, verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { BuyOrMixAnswer, MixedBlock } from '../../../verbs/buy-or-mix.ts';
import type { OpenClays } from '../../book/clays.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { groupsOfHand } from '../lump/hand-of-mix.ts';
import { moneyInWords } from '../stock/money.ts';
import { nameOf } from './pins.ts';

/** The blocks to mix: each as bought over as mixed, with its pieces, its chance and its cost. */
export function MixPile({
  answer: { mix, tolerance },
  clays,
  studio,
  onPin,
}: {
  readonly answer: BuyOrMixAnswer;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly onPin: (name: string, to: 'always') => void;
}) {
  return (
    <section className="pile">
      <div className="pile-head">
        <h2>Mix</h2>
        <p className="small">{count(mix.length, 'colour')}; above as bought, below as mixed</p>
      </div>
      {mix.length === 0 ? <p>None of these blocks comes close enough as a mix.</p> : null}
      <ul className="pile-cells" data-wide aria-label="Blocks to mix">
        {mix.map((one) => (
          <li key={one.clay} className="pile-cell">
            <span className="pile-colours touching">
              <Tile lab={one.wantedShown} name={`${nameOf(one.clay, studio)} as bought`} />
              <Tile lab={one.lab} name="As mixed" />
            </span>
            <Pieces
              size="card"
              groups={groupsOfHand(handOfRecipe(one.recipe, studio), clays, studio)}
            />
            <p>
              <b>{nameOf(one.clay, studio)}</b>{' '}
              <span className="small">
                {verdictHead(verdictWord(tolerance)).toLowerCase()}, {chanceInWords(one.chance)}
              </span>
            </p>
            {one.bakeFirst ? (
              <p className="small warning">
                Not sure yet. Bake a tile of this mix before you leave the block in the shop.
              </p>
            ) : null}
            <p className="small">{costInWords(one, studio.currency)}</p>
            <div className="actions">
              <Button kind="quiet" onPress={() => onPin(one.clay, 'always')}>
                Always buy {nameOf(one.clay, studio)}
              </Button>
              <BlockLink clay={one.clay} studio={studio} />
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function BlockLink({ clay, studio }: { readonly clay: string; readonly studio: Studio }) {
  const block = studio.byName.get(clay)?.blockId;
  if (block === undefined) return null;
  return (
    <Link to="/find" search={{ block }}>
      Other recipes for {nameOf(clay, studio)}
    </Link>
  );
}

function costInWords(
  { costPer100g, blockPer100g }: MixedBlock,
  currency: string | undefined,
): string {
  if (costPer100g === undefined || blockPer100g === undefined || currency === undefined) return '';
  const money = (minor: number) => moneyInWords({ minor: Math.round(minor), currency });
  return `${money(costPer100g)} for 100 g, bought ${money(blockPer100g)}`;
}
