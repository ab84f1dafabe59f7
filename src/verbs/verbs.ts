import { bake } from './bake.ts';
import { buyOrMix } from './buy-or-mix.ts';
import { buyingList } from './buying-list.ts';
import { chart } from './chart.ts';
import { checkNames } from './check-names.ts';
import { compareLines } from './compare-lines.ts';
import { figure } from './figure.ts';
import { find } from './find.ts';
import { hold } from './hold.ts';
import { inspect } from './inspect.ts';
import { ladder } from './ladder.ts';
import { learn } from './learn.ts';
import { mend } from './mend.ts';
import { nearest } from './nearest.ts';
import { newLot } from './new-lot.ts';
import { nextTile } from './next-tile.ts';
import { predict } from './predict.ts';
import { read } from './read.ts';
import { translate } from './translate.ts';
import { traySheet } from './tray-sheet.ts';
import { tryBalls } from './try.ts';
import { twins } from './twins.ts';
import { widen } from './widen.ts';

/** Every question that Kneadwell answers, by its name; docs/map.md has a row for each. */
export const VERBS = {
  learn,
  predict,
  find,
  inspect,
  'next-tile': nextTile,
  try: tryBalls,
  mend,
  ladder,
  chart,
  translate,
  twins,
  'compare-lines': compareLines,
  widen,
  'new-lot': newLot,
  'check-names': checkNames,
  'buy-or-mix': buyOrMix,
  'buying-list': buyingList,
  figure,
  nearest,
  read,
  'tray-sheet': traySheet,
  hold,
  bake,
} as const;

/** Questions to a clay model. */
export const CLAY_VERBS = {
  predict,
  find,
  inspect,
  'next-tile': nextTile,
  try: tryBalls,
  mend,
  ladder,
  chart,
  translate,
  twins,
  'compare-lines': compareLines,
  widen,
  'new-lot': newLot,
  'check-names': checkNames,
  'buy-or-mix': buyOrMix,
  'buying-list': buyingList,
  figure,
} as const satisfies Partial<typeof VERBS>;
export type ClayVerbName = keyof typeof CLAY_VERBS;
