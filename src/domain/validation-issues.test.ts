import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { issuesOf } from './validation-issues.ts';

const work = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('learn') }),
  z.strictObject({ do: z.literal('find'), paper: z.enum(['A4', 'Letter']) }),
  z.strictObject({ do: z.literal('try') }),
]);
const said = (value: unknown) => issuesOf(work.safeParse(value).error!);

describe('what does not fit, in words', () => {
  it('names all that is allowed here, the last with "or"', () => {
    const fits = [{ field: 'do', message: 'it should be learn, find or try' }];
    expect(said({ do: 'dance' })).toEqual(fits);
    expect(said({})).toEqual(fits);
    expect(said({ do: 'find', paper: 'A9' })).toEqual([
      { field: 'paper', message: 'it should be A4 or Letter' },
    ]);
  });
});
