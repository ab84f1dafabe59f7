import { client } from './client.ts';

/** Grams of every block and powder that are left, by id; undefined where nobody knows. */
export const gramsOnHand = {
  queryKey: ['stock', 'grams'],
  queryFn: async () => {
    const { body } = await client.call('stock', { query: {} });
    return new Map(body.stock.map((one) => [one.of.id, one.grams]));
  },
};
