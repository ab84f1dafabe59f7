import { inARow } from '../core/in-a-row.ts';
/** A share by weight in words: `2 %`. */
export function percentInWords(share: number): string {
  return `${Number((share * 100).toPrecision(3))} %`;
}

/** What every prediction of a mix with powders must say. */
export function powdersNotPredicted(names: readonly string[]): string {
  return `The effect of ${inARow(names)} on the colour is not predicted.`;
}
