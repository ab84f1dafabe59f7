import type { BookStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { change, make } from './steps.ts';

/** A batch of a planned figure that was mixed. */
export interface MixedBatch {
  readonly of: BodyOf<'figure'>['batches'][number]['of'];
  /** Of the mix when it was mixed. */
  readonly version?: number;
  readonly massG: number;
  /** The newest baked tile of the mix, whose readings say how it looked. */
  readonly tileId?: string;
  /** What went into it of each block, or of a lump mixed before. */
  readonly used: readonly {
    readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
    readonly massG: number;
    /** The purchase it came from, where that is known. */
    readonly purchaseId?: string;
  }[];
  readonly on: string;
}

/** Grams of the ledger are written to a hundredth. */
const STEP_G = 100;

/**
 * A mixed batch of a figure: the clay it took leaves the stock, and the figure remembers the batch with the
 * purchases that the clay came from.
 * Holds:   undone together; clay that came to nothing has no entry
 */
export function mixedBatchSteps(
  figure: RecordOf<'figure'>,
  { of, version, massG, tileId, used, on }: MixedBatch,
): readonly BookStep[] {
  const purchaseIds = [...new Set(used.flatMap(({ purchaseId }) => purchaseId ?? []))];
  const rounded = (grams: number) => Math.round(STEP_G * grams) / STEP_G;
  return [
    change(figure, {
      ...figure.body,
      batches: [
        ...figure.body.batches,
        {
          of,
          ...(version === undefined ? {} : { version }),
          massG: rounded(massG),
          ...(purchaseIds.length === 0 ? {} : { purchaseIds }),
          ...(tileId === undefined ? {} : { tileId }),
        },
      ],
    }),
    ...used.flatMap((one) =>
      rounded(one.massG) === 0
        ? []
        : [
            make('stock-entry', {
              of: one.of,
              ...(one.purchaseId === undefined ? {} : { purchaseId: one.purchaseId }),
              on,
              why: 'used',
              changeG: -rounded(one.massG),
            }),
          ],
    ),
  ];
}
