import { useMemo } from 'react';
import { batchOf } from '../../core/recipe/amounts.ts';
import type { Basis } from '../../core/recipe/mix-graph.ts';
import { verdict } from '../../core/recipe/verdict.ts';
import type { OpenClays } from '../book/clays.ts';
import { massInWords, type Units, useUnits } from '../book/units.ts';
import { AimAndPrediction } from '../parts/aim-and-prediction.tsx';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { VerdictLine } from '../parts/verdict-line.tsx';
import type { Foretold } from '../workers/messages.ts';
import { BatchField } from './batch-field.tsx';
import type { Studio } from './studio.ts';
import type { Hand, HandHere } from './use-hand.ts';
import { useForetold } from './use-seek.ts';
import type { Steady } from './use-steady.ts';
import type { WantedAim } from './wanted.ts';

/** The mix on the bench: its colour beside the aim, its pieces to be moved, its grams, and keeping it. */
export function HandBench({
  clays,
  studio,
  aim,
  here,
  nearest,
  batchG,
  onBatch,
  onKeep,
  children,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly aim: WantedAim | undefined;
  readonly here: HandHere;
  /** The best found, where nothing is laid out by hand; stands still under a pointer. */
  readonly nearest: Steady<Hand>;
  readonly batchG: number | undefined;
  readonly onBatch: (batchG: number | undefined) => void;
  readonly onKeep: (mix: { readonly hand: Hand; readonly foretold: Foretold }) => void;
  /** What stands between the tiles and the pieces. */
  readonly children?: React.ReactNode;
}) {
  const { hand, moves, from } = here;
  const units = useUnits();
  const shown = hand ?? nearest.shown;
  const shares = useMemo(
    () =>
      shown.flatMap(({ blockId, parts }) => {
        const block = clays.byBlock.get(blockId);
        return block === undefined ? [] : [{ parent: block.parent, parts }];
      }),
    [shown, clays],
  );
  const foretold = useForetold(clays, shares);
  const used = shown.filter(({ parts }) => parts > 0);
  const amounts = useMemo(
    () => amountsOf(shown, studio, clays.desk.basis, batchG, units),
    [shown, studio, clays, batchG, units],
  );
  const groups = shown.map(({ blockId, parts }) => ({
    id: blockId,
    name: studio.byBlock.get(blockId)?.name ?? '',
    lab: clays.byBlock.get(blockId)?.lab,
    parts,
    amount: amounts.get(blockId),
  }));
  const judged =
    aim === undefined || foretold === undefined
      ? undefined
      : verdict(aim.lab, foretold.lab, foretold.covariance);
  return (
    <section className="bench" aria-label="Aim and mix" {...nearest.holders}>
      <AimAndPrediction
        aim={aim?.lab}
        aimName={aim === undefined ? 'Choose an aim' : `Aim: ${aim.words}`}
        made={foretold}
        madeName={hand === undefined ? 'The nearest mix' : 'Your mix'}
      />
      {judged === undefined || aim === undefined || foretold === undefined ? (
        <p className="lead">
          {aim === undefined
            ? 'Move the sliders, or take a colour from your book, a picture or a Munsell page.'
            : 'No recipe yet.'}
        </p>
      ) : (
        <VerdictLine verdict={judged} aim={aim.lab} made={foretold.lab} live={hand !== undefined} />
      )}
      {children}
      {groups.length === 0 ? null : (
        <PieceRow groups={groups} onChange={(id, parts) => here.turn(shown, id, parts)} />
      )}
      {aim === undefined ? null : (
        <div className="doings">
          <Button
            kind="main"
            isDisabled={used.length === 0 || foretold === undefined}
            onPress={() => {
              if (foretold !== undefined) onKeep({ hand: used, foretold });
            }}
          >
            Keep this mix
          </Button>
          {moves === 0 ? null : <Button onPress={here.takeBack}>Take the move back</Button>}
          {hand === undefined ? null : (
            <Button onPress={moves > 0 && from !== undefined ? () => here.lay(from) : here.letGo}>
              {moves > 0 ? 'Back to the found recipe' : 'Back to the nearest'}
            </Button>
          )}
        </div>
      )}
      {aim === undefined ? null : (
        <MoreOfBench
          shown={shown}
          studio={studio}
          batchG={batchG}
          units={units}
          onBatch={onBatch}
          onAdd={(id) => here.turn(shown, id, 1)}
        />
      )}
    </section>
  );
}

function MoreOfBench({
  shown,
  studio,
  batchG,
  units,
  onBatch,
  onAdd,
}: {
  readonly shown: Hand;
  readonly studio: Studio;
  readonly batchG: number | undefined;
  readonly units: Units;
  readonly onBatch: (batchG: number | undefined) => void;
  readonly onAdd: (blockId: string) => void;
}) {
  const mayAdd = studio.clays.filter(({ blockId }) => !shown.some((h) => h.blockId === blockId));
  return (
    <div className="two bench-more">
      {mayAdd.length === 0 ? null : (
        <Pick
          label="Put in another clay"
          value=""
          onChange={onAdd}
          options={[['', 'choose'], ...mayAdd.map(({ blockId, name }) => [blockId, name] as const)]}
        />
      )}
      <BatchField batchG={batchG} units={units} onChange={onBatch} />
    </div>
  );
}

/** Grams of each clay in a lump, as words; nothing where a density is wanted and not known. */
function amountsOf(
  shown: Hand,
  studio: Studio,
  basis: Basis,
  batchG: number | undefined,
  units: Units,
): ReadonlyMap<string, string> {
  const used = shown.filter(({ parts }) => parts > 0);
  if (batchG === undefined || used.length === 0) return new Map();
  const densities = used.map(({ blockId }) => studio.byBlock.get(blockId)?.densityGPerCm3);
  const known = densities.every((density) => density !== undefined);
  // Clays whose density nobody told are taken to weigh alike.
  const { amounts } = batchOf(
    used.map(({ blockId, parts }, i) => ({
      parent: blockId,
      parts,
      densityGPerCm3: known ? densities[i]! : 1,
    })),
    basis,
    { massG: batchG },
  );
  return new Map(amounts.map(({ parent, massG }) => [parent, massInWords(massG, units)]));
}
