import type { Lab } from '../../core/colour/triples.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import type { OpenClays } from '../book/clays.ts';
import type { Studio } from './studio.ts';
import type { Hand } from './use-hand.ts';

/** A recipe found, by the blocks of the book. */
export function handOfRecipe(recipe: Recipe, studio: Studio): Hand {
  return recipe.flatMap(({ clay: name, parts }) => {
    const clay = studio.byName.get(name);
    return clay === undefined ? [] : [{ blockId: clay.blockId, parts }];
  });
}

export function labOfClay(clays: OpenClays, studio: Studio, name: string): Lab | undefined {
  return clays.byBlock.get(studio.byName.get(name)?.blockId ?? '')?.lab;
}
