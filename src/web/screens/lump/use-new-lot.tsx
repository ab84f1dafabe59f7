import { type ReactNode, useState } from 'react';
import type { BakedForecast } from '../../../core/verdict/baked-from-raw.ts';
import { newLotSteps, recutMixStep } from '../../../domain/changes/new-lot-steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { Affected } from '../../../verbs/new-lot.ts';
import { newId, sendChange, wordsOf } from '../../book/change.ts';
import type { OpenClays } from '../../book/clays.ts';
import { titleOfMix } from '../../book/names.ts';
import { showNotice } from '../../book/notice.ts';
import { useAll, useTakenBack } from '../../book/queries.ts';
import { predictedOf, wantedOf } from '../../book/saved-with-mix.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import type { Looks } from './looks.tsx';

/** A new lot on its way into the book. */
export interface LotToSave {
  /** The block it was saved as. */
  readonly saved: { readonly id: string; readonly name: string } | undefined;
  readonly button: ReactNode;
  /** Saves the new cut of a mix as a mix, with the new lot where that is not saved yet; its id. */
  readonly saveCut: (mix: RecordOf<'mix'>, affected: Affected) => Promise<string | undefined>;
}

/** Saves a new lot as a block, alone or with the first mix that is cut again for it. */
export function useNewLot({
  block,
  clays,
  studio,
  looks,
  baked,
}: {
  readonly block: RecordOf<'block'>;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly looks: Looks | undefined;
  readonly baked: BakedForecast | undefined;
}): LotToSave {
  const names = useAll('block').records.map(({ body }) => body.name);
  const [made, setSaved] = useState<LotToSave['saved']>();
  const saved = useTakenBack(made?.id) ? undefined : made;
  const lotOf = (colour: BakedForecast, readingKind: Looks['readingKind']) =>
    saved === undefined
      ? newLotSteps({ block, names, looks: { lab: colour.lab, readingKind }, newId })
      : { ...saved, steps: [] };
  const kept = async <T,>(work: () => Promise<T>): Promise<T | undefined> => {
    try {
      return await work();
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
      return undefined;
    }
  };
  const saveAlone = () =>
    kept(async () => {
      if (baked === undefined || looks === undefined) return;
      const { id, name, steps } = lotOf(baked, looks.readingKind);
      await sendChange(`Added the block ${name}`, steps);
      setSaved({ id, name });
    });
  return {
    saved,
    button:
      saved === undefined ? (
        <div className="actions">
          <Button isDisabled={baked === undefined} onPress={() => saveAlone()}>
            Save the new lot as a block
          </Button>
        </div>
      ) : null,
    saveCut: (mix, { before, cut }) =>
      kept(async () => {
        if (baked === undefined || looks === undefined || cut === undefined) return undefined;
        const { id, name, steps } = lotOf(baked, looks.readingKind);
        const clay = studio.byBlock.get(block.id)?.name;
        const parts = cut.recipe.flatMap(({ clay: named, parts: n }) => {
          const blockId = named === clay ? id : studio.byName.get(named)?.blockId;
          return blockId === undefined
            ? []
            : [{ of: { kind: 'block' as const, id: blockId }, parts: n }];
        });
        const title = titleOfMix(mix);
        const step = recutMixStep({
          from: mix,
          called: title,
          lot: name,
          parts,
          basis: clays.worker.basis,
          wanted: wantedOf({ lab: before.shown }),
          predicted: predictedOf({ lab: cut.shown, plusMinus: cut.plusMinus }, clays.modelId),
        });
        const records = await sendChange(`Saved ${title}, cut for ${name}`, [...steps, step]);
        setSaved({ id, name });
        return records.at(-1)?.id;
      }),
  };
}
