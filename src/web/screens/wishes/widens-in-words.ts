import { inARow } from '../../../core/in-a-row.ts';

/** From here on "times as many" is easier to grasp than per cent. */
const TWICE = 1.5;

/** What an addition brings: "Gives Moss and Glint. 12 % more colours." */
export function widensInWords({
  widens,
  gives,
}: {
  readonly widens: number;
  readonly gives: readonly string[];
}): string {
  const more = `${moreInWords(widens)} colours.`;
  return gives.length === 0 ? more : `Gives ${inARow(gives)}. ${more}`;
}

/** "12 % more", "Three times as many". */
export function moreInWords(widens: number): string {
  const percent = Math.round(100 * widens);
  if (percent < 1) return 'Hardly more';
  return widens < TWICE ? `${percent} % more` : `${Math.round(1 + widens)} times as many`;
}
