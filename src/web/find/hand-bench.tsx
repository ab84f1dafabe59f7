import { memo, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { batchOf } from '../../core/mixes/amounts.ts';
import { type Basis, USUAL_DENSITY } from '../../core/mixes/mix-graph.ts';
import type { OpenClays } from '../book/clays.ts';
import { massInWords, type Units, useUnits } from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { Pieces } from '../parts/pieces.tsx';
import type { Prediction } from '../workers/messages.ts';
import { BatchField } from './batch-field.tsx';
import type { RequestAim } from './find-request.ts';
import { MixColourPart } from './mix-colour-part.tsx';
import type { Studio } from './studio.ts';
import { sharesOf } from './use-find.ts';
import { type Hand, type HandHere, withParts } from './use-hand.ts';
import type { StableOrder } from './use-stable-order.ts';

/** The mix in hand: its colour beside the one wanted, its pieces, its grams, and Save. */
export function HandBench({
  clays,
  studio,
  aim,
  here,
  closest,
  batchG,
  onBatch,
  onSave,
  children,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly aim: RequestAim | undefined;
  readonly here: HandHere;
  /** The best recipe found, shown until the user moves a piece; stands still under a pointer. */
  readonly closest: StableOrder<Hand>;
  readonly batchG: number | undefined;
  readonly onBatch: (batchG: number | undefined) => void;
  readonly onSave: (mix: { readonly hand: Hand; readonly predicted: Prediction }) => void;
  /** Shown between the tiles and the pieces. */
  readonly children?: React.ReactNode;
}) {
  const { hand, moves, from } = here;
  const units = useUnits();
  const shown = hand ?? closest.shown;
  const [canSave, setCanSave] = useState(false);
  const turn = (blockId: string, parts: number) => {
    const next = sharesOf(clays, withParts(shown, blockId, parts));
    // Until the clays are loaded here, the worker starts while the pieces render.
    if (next.length > 0 && clays.worker.predictNow(next) === undefined) {
      clays.worker.predict(next).catch(() => {});
    }
    here.setParts(shown, blockId, parts);
  };
  useEffect(() => clays.worker.bringToHand(), [clays]);
  const newest = useRef(turn);
  newest.current = turn;
  const onTurn = useCallback((id: string, parts: number) => newest.current(id, parts), []);
  const used = shown.filter(({ parts }) => parts > 0);
  const amounts = useMemo(
    () => amountsOf(shown, studio, clays.worker.basis, batchG, units),
    [shown, studio, clays, batchG, units],
  );
  const groups = shown.map(({ blockId, parts }) => ({
    id: blockId,
    name: studio.byBlock.get(blockId)?.name ?? '',
    lab: clays.byBlock.get(blockId)?.lab,
    parts,
    amount: amounts.get(blockId),
  }));
  return (
    <section className="bench" aria-label="Aim and mix" {...closest.holders}>
      <MixColourPart
        clays={clays}
        hand={shown}
        byHand={hand !== undefined}
        aim={aim}
        onColour={setCanSave}
      />
      {children}
      {groups.length === 0 ? null : <Pieces groups={groups} onChange={onTurn} />}
      {aim === undefined ? null : (
        <div className="actions">
          <Button
            kind="main"
            isDisabled={used.length === 0 || !canSave}
            onPress={() => {
              // A press right after a move waits for the new colour instead of saving the one before.
              clays.worker
                .predict(sharesOf(clays, shown))
                .then((predicted) => onSave({ hand: used, predicted }))
                .catch(() => {});
            }}
          >
            Save this mix
          </Button>
          {moves === 0 ? null : <Button onPress={here.undo}>Undo</Button>}
          {hand === undefined ? null : (
            <Button onPress={moves > 0 && from !== undefined ? () => here.show(from) : here.clear}>
              {moves > 0 ? 'Back to the found recipe' : 'Back to the closest'}
            </Button>
          )}
        </div>
      )}
      {aim === undefined ? null : (
        <MoreOfBench
          blockIds={shown.map(({ blockId }) => blockId).join(' ')}
          studio={studio}
          batchG={batchG}
          units={units}
          onBatch={onBatch}
          onAdd={onTurn}
        />
      )}
    </section>
  );
}

const MoreOfBench = memo(function MoreOfBench({
  blockIds,
  studio,
  batchG,
  units,
  onBatch,
  onAdd,
}: {
  /** Clays of the mix already, separated by spaces. */
  readonly blockIds: string;
  readonly studio: Studio;
  readonly batchG: number | undefined;
  readonly units: Units;
  readonly onBatch: (batchG: number | undefined) => void;
  readonly onAdd: (blockId: string, parts: number) => void;
}) {
  const there = new Set(blockIds.split(' '));
  const mayAdd = studio.clays.filter(({ blockId }) => !there.has(blockId));
  return (
    <div className="two bench-more">
      {mayAdd.length === 0 ? null : (
        <Pick
          label="Add a clay"
          value=""
          onChange={(id) => onAdd(id, 1)}
          options={[['', 'choose'], ...mayAdd.map(({ blockId, name }) => [blockId, name] as const)]}
        />
      )}
      <BatchField batchG={batchG} units={units} onChange={onBatch} />
    </div>
  );
});

/** Grams of each clay in a batch, in words; a clay whose density is not known counts with the usual one. */
function amountsOf(
  shown: Hand,
  studio: Studio,
  basis: Basis,
  batchG: number | undefined,
  units: Units,
): ReadonlyMap<string, string> {
  const used = shown.filter(({ parts }) => parts > 0);
  if (batchG === undefined || used.length === 0) return new Map();
  const { amounts } = batchOf(
    used.map(({ blockId, parts }) => ({
      clay: blockId,
      parts,
      densityGPerCm3: (studio.byBlock.get(blockId)?.density ?? USUAL_DENSITY).value,
    })),
    basis,
    { massG: batchG },
  );
  return new Map(amounts.map(({ clay, massG }) => [clay, massInWords(massG, units)]));
}
