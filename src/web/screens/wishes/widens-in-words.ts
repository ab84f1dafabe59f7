import { listed } from '../../find/find-request-in-words.ts';

/** What an addition brings: "Gives Moss and Glint. 12 % more colours." */
export function widensInWords({
  widens,
  gives,
}: {
  readonly widens: number;
  readonly gives: readonly string[];
}): string {
  const percent = Math.round(100 * widens);
  const more = percent < 1 ? 'Hardly more colours.' : `${percent} % more colours.`;
  return gives.length === 0 ? more : `Gives ${listed(gives)}. ${more}`;
}
