import type { VerdictWord } from '../../core/verdict/verdict.ts';
import { LABEL_FIRST } from '../cautions.ts';
import { LICENCES, type LicenceId } from './licences.ts';
import type { MIX_LOOKS } from './share-file.ts';

type LicenceKey = `licence ${LicenceId}`;

/** Each licence in a sentence or two, under its own key. */
const LICENCE_WORDS = Object.fromEntries(
  LICENCES.map(({ id, name, says }) => [`licence ${id}`, `${name}. ${says}`]),
) as Readonly<Record<LicenceKey, string>>;

/** Every word that a recipe says of itself, in English; words in braces stand for values. */
export const CARD_WORDS = {
  'looks shimmering': 'It shimmers: the colour changes with the light.',
  'looks see-through': 'It is see-through: thin pieces look paler.',
  'sure same': 'A baked tile will look the same.',
  'sure match': 'A baked tile will be a match, or nearly.',
  'sure close': 'A baked tile may come out a little different.',
  'sure family': 'A baked tile may come out clearly different.',
  'sure different': 'A first guess: bake a tile before you trust it.',
  colourUnknown: 'Its colour is not known yet.',
  colourBaked: 'The colour is that of a baked tile.',
  colourPredicted: 'The colour is predicted.',
  byWeight: 'Parts by weight.',
  equalPieces: 'Equal pieces, any cutter.',
  ofTheWeight: '{name}, {percent} of the weight',
  differentHeat: 'Its lines ask for different heat: test a tile first.',
  asThePackage: 'Bake as the package says.',
  bakeAt: 'Bake at {heat} °C.',
  bakeFor: 'Bake at {heat} °C, {minutes} minutes for every 6 mm.',
  fromTo: '{low} to {high}',
  labelFirst: LABEL_FIRST,
  ...LICENCE_WORDS,
} as const satisfies Readonly<
  Record<`looks ${Exclude<(typeof MIX_LOOKS)[number], 'flat'>}`, string>
> &
  Readonly<Record<`sure ${VerdictWord}`, string>> &
  Readonly<Record<string, string>>;
export type CardWords = { readonly [K in keyof typeof CARD_WORDS]: string };
