import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { MATCH, verdictWord } from '../../../core/verdict/verdict.ts';
import { chanceInWords, HARDLY, verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { Affected } from '../../../verbs/new-lot.ts';
import type { OpenClays } from '../../book/clays.ts';
import { titleOfMix } from '../../book/names.ts';
import { useTakenBack } from '../../book/queries.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { groupsOfHand } from './hand-of-mix.ts';
import type { LotToSave } from './use-new-lot.tsx';

/** One mix with the old lot, the new lot, and its new cut. */
export function LotMix({
  affected: { before, after, cut, stays, unsure },
  affected,
  mix,
  clays,
  studio,
  lot,
}: {
  readonly affected: Affected;
  readonly mix: RecordOf<'mix'>;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly lot: LotToSave;
}) {
  const [madeId, setSavedId] = useState<string | undefined>();
  const savedId = useTakenBack(madeId) ? undefined : madeId;
  const title = titleOfMix(mix);
  return (
    <div className="others-one">
      <span className="lot-colours touching">
        <Tile lab={before.shown} name={`${title} with the old lot`} />
        <Tile lab={after.shown} name="The same parts with the new lot" />
        {cut === undefined ? null : <Tile lab={cut.shown} name="New cut" />}
      </span>
      <div className="stack">
        <p>
          <Link to="/book/$id" params={{ id: mix.id }}>
            <b>{title}</b>
          </Link>
        </p>
        <p className="small">
          {stays ? '' : `The same parts: ${lookOf(after).toLowerCase()}. `}
          {whatThen({ cut, stays, unsure })}
        </p>
        {cut === undefined ? null : (
          <>
            <Pieces
              size="card"
              groups={groupsOfHand(handOfRecipe(cut.recipe, studio), clays, studio)}
            />
            <p className="small">
              {lookOf(cut)}
              {cut.added === undefined ? '' : `; ${cut.added} is new in it`}.
            </p>
            <div className="actions">
              {savedId === undefined ? (
                <Button
                  kind="quiet"
                  aria-label={`Save this cut: ${title}`}
                  onPress={() => lot.saveCut(mix, affected).then(setSavedId)}
                >
                  Save this cut
                </Button>
              ) : (
                <Link to="/book/$id" params={{ id: savedId }}>
                  Saved
                </Link>
              )}
            </div>
          </>
        )}
      </div>
    </div>
  );
}

/** "A match, 7 in 10", or how different where a match is hardly to be expected. */
function lookOf({ dE00, chance }: { readonly dE00: number; readonly chance: number }): string {
  return chance < HARDLY
    ? verdictHead(verdictWord(Math.max(dE00, MATCH * 1.001)))
    : `${verdictHead(verdictWord(MATCH))}, ${chanceInWords(chance)}`;
}

function whatThen({
  cut,
  stays,
  unsure,
}: Pick<Affected, 'stays' | 'unsure'> & { readonly cut: Affected['cut'] | undefined }): string {
  if (stays) return 'No difference can be seen. Cut it as before.';
  if (unsure) return 'That is not certain: bake a tile of this mix first.';
  return cut === undefined ? 'No other cut comes closer.' : 'New cut:';
}
