import { useMemo } from 'react';
import { useAll } from '../../book/queries.ts';
import type { Studio } from '../../find/studio.ts';

/** Mixes that the user saved as good enough for a block, as recipes of the clays at hand. */
export function useGoodEnough(studio: Studio) {
  const mixes = useAll('mix').records;
  return useMemo(
    () =>
      mixes.flatMap(({ body: { standsForId, parts } }) => {
        const clay = studio.byBlock.get(standsForId ?? '')?.name;
        const recipe = parts.flatMap(({ of, parts: n }) => {
          const part = studio.byBlock.get(of.id);
          return part === undefined ? [] : [{ clay: part.name, parts: n }];
        });
        // A mix in a mix is counted by the book alone.
        return clay === undefined || recipe.length < parts.length ? [] : [{ clay, recipe }];
      }),
    [mixes, studio.byBlock],
  );
}
