import type { Lab } from '../../../core/colour/triples.ts';
import type { Basis } from '../../../core/mixes/mix-graph.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';

/** A recipe that is mixed without being saved, as it is written in the address. */
export interface RecipeInAddress {
  /** `kelp:5,limpet:2`: blocks and their parts. */
  readonly pieces?: string;
  /** Absent for parts by volume. */
  readonly by?: 'weight';
  /** The colour wanted, `L_a_b`. */
  readonly aim?: string;
  readonly called?: string;
}

export function recipeFromSearch({
  pieces,
  by,
  aim,
  called,
}: Readonly<Record<string, unknown>>): RecipeInAddress {
  return {
    ...(typeof pieces === 'string' ? { pieces } : {}),
    ...(by === 'weight' ? { by } : {}),
    ...(typeof aim === 'string' ? { aim } : {}),
    ...(typeof called === 'string' ? { called } : {}),
  };
}

const MOST_PARTS = 999;

export function recipeForAddress(
  hand: readonly { readonly blockId: string; readonly parts: number }[],
  basis: Basis,
  { lab, words }: { readonly lab?: Lab; readonly words: string },
): RecipeInAddress {
  return {
    pieces: hand.map(({ blockId, parts }) => `${blockId}:${parts}`).join(','),
    ...(basis === 'weight' ? { by: 'weight' as const } : {}),
    ...(lab === undefined ? {} : { aim: labInAddress(lab) }),
    ...(words.trim() === '' ? {} : { called: words.trim() }),
  };
}

/** Refuses, with undefined, what is not blocks with parts above 0. */
export function mixFromAddress({
  pieces = '',
  by,
}: RecipeInAddress): Pick<BodyOf<'mix'>, 'parts' | 'basis'> | undefined {
  const parts = pieces.split(',').map((one) => {
    const [, id, count] = /^([a-z0-9-]{1,80}):(\d+(?:\.\d+)?)$/.exec(one) ?? [];
    return { of: { kind: 'block' as const, id: id ?? '' }, parts: Number(count) };
  });
  const isRecipe = parts.every(({ of, parts }) => of.id !== '' && parts > 0 && parts <= MOST_PARTS);
  return isRecipe ? { parts, basis: by ?? 'volume' } : undefined;
}
