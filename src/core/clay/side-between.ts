import type { Lab } from '../colour/triples.ts';
import { inARow } from '../in-a-row.ts';

/** How a reading differs from the prediction: "darker and duller". */
export function sideBetween(predicted: Lab, read: Lab): string {
  const words: string[] = [];
  const dL = read[0] - predicted[0];
  const dC = Math.hypot(read[1], read[2]) - Math.hypot(predicted[1], predicted[2]);
  if (Math.abs(dL) >= 1) words.push(dL > 0 ? 'lighter' : 'darker');
  if (Math.abs(dC) >= 1) words.push(dC > 0 ? 'brighter' : 'duller');
  return words.length === 0 ? 'of another hue' : inARow(words);
}
