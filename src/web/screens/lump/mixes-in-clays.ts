import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import { mixNode, partsOfBlocks, resolverFor } from '../../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import type { OpenClays } from '../../book/clays.ts';
import { client } from '../../book/client.ts';
import { titleOfMix } from '../../book/names.ts';
import { getMany } from '../../book/queries.ts';
import type { Studio } from '../../find/studio.ts';
import { recipeOfHand } from './hand-of-mix.ts';

/** Mixes that are looked at in one go; the newest come first. */
export const MOST_MIXES = 60;

/** Which mixes are meant: some by their ids, those that hold a block, or the newest of the book. */
export type WhichMixes =
  | { readonly those: readonly string[] }
  | { readonly holds: string }
  | { readonly newest: true };

/** Mixes as a verb asks for them: each a recipe of the open clays, or with the reason why there is none. */
export function useMixesInClays(clays: OpenClays, studio: Studio, which: WhichMixes) {
  const { basis } = clays.worker;
  const { data } = useQuery({
    queryKey: ['mixes', 'in clays', which, basis],
    queryFn: async () => {
      const mixes = await mixesOf(which);
      const { resolver } = await resolverFor(
        getMany,
        mixes.flatMap(({ body }) => body.parts.map(({ of }) => of.id)),
      );
      return mixes.map((mix) => ({ mix, found: resolver.resolve(mixNode(mix.body), basis) }));
    },
  });
  return useMemo(
    () =>
      data?.map(({ mix, found }) => {
        const title = titleOfMix(mix);
        if (found.status !== 'resolved') return { mix, asked: { words: title, why: found.says } };
        const hand = partsOfBlocks(found);
        const recipe = recipeOfHand(hand, studio);
        return hand.every(({ blockId }) => studio.byBlock.has(blockId)) && recipe !== undefined
          ? { mix, asked: { words: title, recipe: recipe.recipe, basis } }
          : {
              mix,
              asked: {
                words: title,
                why: 'Nothing is known of the colour of one of its clays.',
                // Somebody else's mix: its clays are unknown here, its colour is not.
                ...(mix.body.wanted === undefined ? {} : { aim: mix.body.wanted.lab }),
              },
            };
      }),
    [data, studio, basis],
  );
}

async function mixesOf(which: WhichMixes): Promise<readonly RecordOf<'mix'>[]> {
  if ('newest' in which) {
    const query = {
      kind: 'mix',
      sort: 'changed',
      descending: 'true',
      limit: MOST_MIXES,
    } as const;
    return ofKind((await client.call('listRecords', { query })).body.records, 'mix');
  }
  const ids = 'those' in which ? which.those : await holding(which.holds);
  return [...(await getMany(ids)).values()].filter(
    (one): one is RecordOf<'mix'> => one.kind === 'mix',
  );
}

async function holding(block: string): Promise<readonly string[]> {
  const query = { block, sort: 'name', limit: MOST_MIXES } as const;
  return (await client.call('mixList', { query })).body.rows.map(({ id }) => id);
}
