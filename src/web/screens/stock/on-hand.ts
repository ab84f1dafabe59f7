import { useQuery } from '@tanstack/react-query';
import { client } from '../../book/client.ts';
import { massInWords, type Units, volumeInWords } from '../../book/units.ts';

/** A block runs low under this amount: less than half a small block (common practice). */
const LOW_G = 20;

export interface OnHand {
  readonly grams?: number;
  readonly millilitres?: number;
  readonly asOf: string;
}

/** The amount of each block, mix and powder, summed from the stock entries. */
export function useOnHand(): ReadonlyMap<string, OnHand> | undefined {
  const { data } = useQuery({
    queryKey: ['stock'],
    queryFn: async () =>
      new Map(
        (await client.call('stock', { query: {} })).body.stock.map((one) => [
          one.of.id,
          one as OnHand,
        ]),
      ),
  });
  return data;
}

/** Whether a counted amount is low. */
export function runsLow(one: OnHand | undefined): boolean {
  return one?.grams !== undefined && one.grams < LOW_G;
}

export function amountInWords(one: OnHand | undefined, units: Units): string {
  if (one === undefined) return 'not counted';
  if ((one.grams ?? 1) <= 0) return 'none left';
  const said = [
    one.grams === undefined ? '' : massInWords(one.grams, units),
    one.millilitres === undefined ? '' : volumeInWords(one.millilitres, units),
  ].filter(Boolean);
  return `${said.join(', ') || 'not counted'}${runsLow(one) ? ', running low' : ''}`;
}
