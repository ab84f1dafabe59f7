import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdict } from '../../../core/verdict/verdict.ts';
import type { TileInSight } from './tiles-in-sight.ts';

/** What baking changed, and whether the tile disagrees with the others, in one sentence each. */
export function whatIsSaid(tile: TileInSight, predicted: Lab | undefined): string {
  const baked = tile.baked?.lab;
  const raw = tile.raw?.lab;
  const said: string[] = [];
  if (tile.baked?.override === true) said.push('Your colour is used.');
  if (raw !== undefined && baked !== undefined) {
    const [first] = sidesOf(raw, baked);
    said.push(
      first.size < 0.8 ? 'Baking hardly changed it.' : `Baking made it ${sideInWords(first)}.`,
    );
  }
  if (predicted !== undefined && baked !== undefined) {
    const { word, sentence } = verdict(predicted, baked);
    if (word !== 'same' && word !== 'match') {
      said.push(`Disagrees with the other tiles: ${sentence}.`);
    }
  }
  return said.join(' ') || (baked === undefined ? 'Not baked yet.' : '');
}
