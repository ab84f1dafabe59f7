import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdict } from '../../../core/verdict/verdict.ts';
import type { TileInSight } from './tiles-in-sight.ts';

/** How far a baked tile is from what the clays predict, dE00; 0 where it is a match. */
export function surprise({ baked }: TileInSight, predicted: Lab | undefined): number {
  if (baked === undefined || predicted === undefined) return 0;
  const { word, dE00 } = verdict(predicted, baked.lab);
  return word === 'same' || word === 'match' ? 0 : dE00;
}

/** What is worth knowing of a tile in a list: nothing where all is as expected. */
export function whatIsSaid(tile: TileInSight, predicted: Lab | undefined): string {
  if (tile.raw === undefined && tile.baked === undefined) return 'not read yet';
  if (tile.baked === undefined) return 'raw';
  if (predicted === undefined || surprise(tile, predicted) === 0) return '';
  const [side] = sidesOf(predicted, tile.baked.lab);
  return `${sideInWords(side)} than predicted`;
}
