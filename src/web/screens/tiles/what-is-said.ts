import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdict } from '../../../core/verdict/verdict.ts';
import type { TileInSight } from './tiles-in-sight.ts';

/**
 * What baking did, and what the other tiles make of this one, in a sentence each; nothing where the others
 * would have it just so, as most do.
 */
export function whatIsSaid(tile: TileInSight, predicted: Lab | undefined): string {
  const baked = tile.baked?.lab;
  const raw = tile.raw?.lab;
  const said: string[] = [];
  if (tile.baked?.override === true) said.push('Your colour is used.');
  if (raw !== undefined && baked !== undefined) {
    const [first] = sidesOf(raw, baked);
    said.push(first.size < 0.8 ? 'Baking hardly moved it.' : `Baked it is ${sideInWords(first)}.`);
  }
  if (predicted !== undefined && baked !== undefined) {
    const { word, sentence } = verdict(predicted, baked);
    if (word !== 'same' && word !== 'match') {
      said.push(`The others would have it otherwise: ${sentence}.`);
    }
  }
  return said.join(' ') || (baked === undefined ? 'Not baked yet.' : '');
}
