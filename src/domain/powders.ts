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
