import type { RecordOf } from '../../../domain/records/record.ts';
import type { OpenClays } from '../../book/clays.ts';
import { useResolvedMix } from '../../book/resolved-mix.ts';
import type { Studio } from '../../find/studio.ts';
import type { Hand } from '../../find/use-hand.ts';
import { recipeInWords } from '../../parts/piece-group.ts';

/** A mix by the parts of its blocks, counted as the open clays count; why not, where it cannot be said. */
export type HandOfMix =
  | { readonly state: 'loading' }
  | { readonly state: 'no'; readonly why: string }
  | { readonly state: 'known'; readonly hand: Hand };

/** Parts by block of a mix, through the mixes in it; as many parts in all as the mix has. */
export function useHandOfMix(mix: RecordOf<'mix'> | undefined, clays: OpenClays): HandOfMix {
  const { basis } = clays.worker;
  const { found, isPending } = useResolvedMix(mix?.body, basis);
  if (mix === undefined) return { state: 'known', hand: [] };
  const parts = mix.body.parts;
  const plain = mix.body.basis === basis && parts.every(({ of }) => of.kind === 'block');
  const all = parts.reduce((sum, one) => sum + one.parts, 0);
  const hand = plain
    ? parts.map(({ of, parts: count }) => ({ blockId: of.id, parts: count }))
    : found?.status === 'resolved'
      ? found.blocks.map(({ id, share }) => ({ blockId: id, parts: share * all }))
      : undefined;
  if (hand === undefined) {
    if (isPending) return { state: 'loading' };
    const says = found?.status === 'resolved' ? undefined : found?.says;
    return { state: 'no', why: says ?? 'A clay of this mix is no longer in the book.' };
  }
  if (hand.some(({ blockId }) => !clays.byBlock.has(blockId))) {
    return {
      state: 'no',
      why: 'Nothing is known of the colour of one of its clays. Read a tile of that clay, or choose its colour by eye in Stock.',
    };
  }
  return { state: 'known', hand };
}

/** Parts by block as a recipe that verbs take; undefined where there is no part. */
export function recipeOfHand(hand: Hand, studio: Studio) {
  const recipe = hand.flatMap(({ blockId, parts }) => {
    const clay = studio.byBlock.get(blockId);
    return clay === undefined || parts <= 0 ? [] : [{ clay: clay.name, parts }];
  });
  return recipe.length === 0 ? undefined : { recipe, words: recipeInWords(recipe) };
}

/** Groups of pieces of parts by block. */
export function groupsOfHand(hand: Hand, clays: OpenClays, studio: Studio) {
  return hand.map(({ blockId, parts }) => ({
    id: blockId,
    name: studio.byBlock.get(blockId)?.name ?? 'a clay',
    lab: clays.byBlock.get(blockId)?.lab,
    parts,
  }));
}
