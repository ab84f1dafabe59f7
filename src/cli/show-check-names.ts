import { betterOrderInWords } from '../domain/better-order-in-words.ts';
import type { CheckNamesAnswer } from '../verbs/check-names.ts';
import { plain, type Screen, swatch } from './terminal-output.ts';

/** Each tile beside the colour of its name, and a better order of the names. */
export function checkNamesText({ tiles, better }: CheckNamesAnswer, screen: Screen): string {
  const lines = ['Is each name beside the right tile?', ''];
  for (const { tile, lab, predicted } of tiles) {
    const said =
      predicted === null
        ? 'the colour of this name is not known'
        : `${predicted.dE00.toFixed(1)} from the colour of its name, ± ${predicted.plusMinus.toFixed(1)}${predicted.isDoubtful ? '. Is this the right tile?' : ''}`;
    lines.push(`  ${swatch(screen, lab, predicted?.lab ?? lab)}${plain(tile)}: ${said}`);
  }
  if (better !== null) {
    lines.push(
      '',
      betterOrderInWords(better, (at) => plain(tiles[at]?.tile ?? String(at + 1))),
    );
  }
  lines.push('', 'Distances in dE00 under D50, 2 degrees.');
  return `${lines.join('\n')}\n`;
}
