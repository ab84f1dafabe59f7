import type { BookStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { make } from './steps.ts';

/**
 * A purchase of a block, and the clay of its packages in the stock.
 * Holds:   where the weight of a package is not known, the stock does not change
 */
export function purchaseSteps(ask: {
  readonly block: Pick<RecordOf<'block'>, 'id' | 'body'>;
  readonly purchase: Omit<BodyOf<'purchase'>, 'of'> & {
    readonly boughtOn: string;
    readonly packages: number;
  };
  readonly newId: (kind: string) => string;
}): readonly BookStep[] {
  const { block, purchase, newId } = ask;
  const of = { kind: 'block', id: block.id } as const;
  const purchaseId = newId('purchase');
  const bought = make('purchase', { of, ...purchase }, purchaseId);
  const { packageG } = block.body;
  if (packageG === undefined) return [bought];
  const { boughtOn: on, packages } = purchase;
  return [
    bought,
    make('stock-entry', { of, purchaseId, on, why: 'bought', changeG: packages * packageG }),
  ];
}
