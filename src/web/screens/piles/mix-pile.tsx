import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { chanceInWords, verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { OpenClays } from '../../book/clays.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';
import { groupsOfHand } from '../lump/hand-of-mix.ts';
import { SaveMix } from '../save-mix.tsx';
import { moneyInWords } from '../stock/money.ts';
import type { MixedSoFar, PilesSoFar } from './piles-at.ts';
import { nameOf } from './pins.ts';

/** The blocks to mix: each as bought over as mixed, with its pieces, its chance and its cost. */
export function MixPile({
  answer: { mix, tolerance },
  clays,
  studio,
  onPin,
}: {
  readonly answer: PilesSoFar;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly onPin: (name: string, to: 'always') => void;
}) {
  const [saving, setSaving] = useState<MixedSoFar | undefined>();
  return (
    <section className="pile bench across">
      <div className="pile-head">
        <h2>Mix</h2>
        <p className="small">{count(mix.length, 'colour')}; above as bought, below as mixed</p>
        {mix.some(({ bakeFirst }) => bakeFirst) ? (
          <p className="small">
            Where it says <i>bake a tile first</i>, do so before you leave the block in the shop.
          </p>
        ) : null}
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
              <span className="small">{howClose(one, tolerance)}</span>
            </p>
            {one.bakeFirst ? <p className="small warning">Bake a tile first</p> : null}
            <p className="small">{costInWords(one, studio.currency)}</p>
            <div className="actions">
              <Button
                kind="quiet"
                aria-label={`Always buy ${nameOf(one.clay, studio)}`}
                onPress={() => onPin(one.clay, 'always')}
              >
                Always buy
              </Button>
              {one.isSaved === true ? null : (
                <Button
                  kind="quiet"
                  aria-label={`Good enough: save the mix for ${nameOf(one.clay, studio)}`}
                  onPress={() => setSaving(one)}
                >
                  Good enough
                </Button>
              )}
              <BlockLink clay={one.clay} studio={studio} />
            </div>
          </li>
        ))}
      </ul>
      {saving === undefined ? null : (
        <SaveMix
          isOpen
          onClose={() => setSaving(undefined)}
          onSaved={() => setSaving(undefined)}
          suggestedName={nameOf(saving.clay, studio)}
          body={goodEnoughMix(saving, clays, studio)}
        />
      )}
    </section>
  );
}

/** "close, 7 in 10" */
function howClose({ isSaved, chance }: MixedSoFar, tolerance: number): string {
  if (isSaved === true) return 'your saved mix, good enough';
  const word = verdictHead(verdictWord(tolerance)).toLowerCase();
  return chance === undefined ? word : `${word}, ${chanceInWords(chance)}`;
}

/** The mix as a record that stands for its block. */
function goodEnoughMix({ clay, recipe }: MixedSoFar, clays: OpenClays, studio: Studio) {
  const block = studio.byName.get(clay)?.blockId;
  return {
    parts: handOfRecipe(recipe, studio).map(({ blockId, parts }) => ({
      of: { kind: 'block' as const, id: blockId },
      parts,
    })),
    basis: clays.worker.basis,
    status: 'saved' as const,
    ...(block === undefined ? {} : { standsForId: block }),
  };
}

function BlockLink({ clay, studio }: { readonly clay: string; readonly studio: Studio }) {
  const block = studio.byName.get(clay)?.blockId;
  if (block === undefined) return null;
  return (
    <Link to="/find" search={{ block }} aria-label={`Other recipes for ${nameOf(clay, studio)}`}>
      Others
    </Link>
  );
}

function costInWords(
  { costPer100g, blockPer100g }: MixedSoFar,
  currency: string | undefined,
): string {
  if (costPer100g === undefined || blockPer100g === undefined || currency === undefined) return '';
  const money = (minor: number) => moneyInWords({ minor: Math.round(minor), currency });
  return `${money(costPer100g)} for 100 g, bought ${money(blockPer100g)}`;
}
