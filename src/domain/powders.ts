import { z } from 'zod';

/** A powder in a mix, by its name. */
export const namedPowder = z
  .object({
    name: z.string().min(1).max(200),
    /** 0-1, by weight, of the whole mix with its powders. */
    share: z.number().gt(0).lt(1),
  })
  .readonly();
export type NamedPowder = z.output<typeof namedPowder>;

/** A share by weight in words: `2 %`. */
export function percentInWords(share: number): string {
  return `${Number((share * 100).toPrecision(3))} %`;
}

/** What every prediction of a mix with powders must say. */
export function powdersNotPredicted(names: readonly string[]): string {
  return `The effect of ${names.join(' and ')} on the colour is not predicted.`;
}
