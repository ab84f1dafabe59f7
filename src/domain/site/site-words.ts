import { z } from 'zod';
import { CARD_WORDS, type CardWords } from '../share/card-words.ts';

/** Every word of a page of one's own around its recipes, in English. */
export const SITE_WORDS = {
  language: 'en',
  recipes: 'Recipes',
  search: 'Search by word',
  point: 'Search by colour',
  anyColour: 'Any colour',
  nothing: 'No recipe fits these words.',
  all: 'All recipes as a list',
  back: 'All recipes',
  mine: 'Your clays',
  mineHelp:
    'Tick the clays you own. Every recipe is then worked out for them, here in your browser; nothing is sent anywhere.',
  allOf: 'All of {line}',
  otherFile: 'Your line is not here? Load a share file that has it',
  working: 'Working out the recipes …',
  can: '{n} of {all} recipes can be a match with your clays.',
  cannot: 'No match with your clays: the closest is shown.',
  yours: 'With your clays',
  same: 'The same',
  match: 'A match',
  close: 'Close',
  family: 'Same family',
  different: 'Different',
  chance: '{n} in 10',
  certainly: 'almost certainly',
  hardly: 'hardly ever',
  expect: 'Expect about {n} dE00 off',
  lighter: 'lighter',
  darker: 'darker',
  brighter: 'brighter',
  duller: 'duller',
  redder: 'redder',
  greener: 'greener',
  yellower: 'yellower',
  bluer: 'bluer',
  comesOut: 'It may come out {way}.',
  parts: 'Parts',
  share: 'Share',
  clay: 'Clay',
  line: 'Line',
  baked: 'Baked',
  predicted: 'Predicted',
  file: 'All of it as a share file for Kneadwell',
  screens: 'Screens differ: bake a tile before you trust a colour.',
  fault: 'That file cannot be read as a share file.',
} as const;
export type SiteWords = { readonly [K in keyof typeof SITE_WORDS]: string };

/** Every word of a page; a file with the same keys makes another language. */
export const PAGE_WORDS = { ...SITE_WORDS, ...CARD_WORDS } as const;
export type PageWords = SiteWords & CardWords;

/** Words in another language: keys that are left out stay English. */
export const siteWordsSchema = z
  .partialRecord(
    z.enum(Object.keys(PAGE_WORDS) as [keyof PageWords, ...(keyof PageWords)[]]),
    z.string().min(1).max(400),
  )
  .readonly();
