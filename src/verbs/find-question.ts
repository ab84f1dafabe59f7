import { z } from 'zod';
import { FIND_DEFAULTS, FIND_LIMITS, RELAX } from '../core/find/find-limits.ts';
import { BUYING_CHOICES, type StockRow } from '../core/find/known-clays.ts';
import { ORDERS } from '../core/find/recipe-order.ts';
import { range, share } from '../domain/records/pieces.ts';
import { LIGHTS } from '../domain/records/reading.ts';
import { labAnswer } from './answer-parts.ts';
import { aimSchema, basis, names, only, viewing } from './question-parts.ts';
import { words } from './verb.ts';

const stockRow: z.ZodType<StockRow> = z
  .strictObject({
    name: z.string(),
    line: z.string().exactOptional(),
    clayType: z.string().exactOptional(),
    onHandG: z.number().exactOptional(),
    priceMinorPerG: z.number().exactOptional(),
    currency: z.string().exactOptional(),
    packageG: z.number().exactOptional(),
    buying: z
      .strictObject({ choice: z.enum(BUYING_CHOICES), why: z.string().exactOptional() })
      .readonly()
      .exactOptional(),
    density: z.number().exactOptional(),
    rough: z
      .strictObject({ lab: labAnswer, spread: z.number().positive() })
      .readonly()
      .exactOptional(),
  })
  .readonly();

const whole = ([low, high]: readonly [number, number]) => z.int().min(low).max(high);

const shares = z
  .array(
    z
      .strictObject({
        of: z.string().min(1).max(200),
        share,
        /** Names of the clays that are meant, where the word alone does not say. */
        clays: names.exactOptional(),
      })
      .readonly(),
  )
  .max(50)
  .readonly()
  .exactOptional();

const clayList = (option: string, help: string, noun = 'clay') =>
  names.exactOptional().meta(words({ option, value: '"A, B"', noun, help }));

/** Kept to by every recipe; names are those of the clays and of lines. */
export const findRules = z.strictObject({
  only,
  without: clayList('without', 'leave these out'),
  must: clayList('must', 'a part of each of these'),
  lines: clayList('lines', 'clays of these lines only', 'line'),
  mostLines: whole(FIND_LIMITS['most-lines'])
    .exactOptional()
    .meta(
      words({
        option: 'most-lines',
        value: 'N',
        help: 'clays of at most so many lines in one recipe',
      }),
    ),
  atLeast: shares.meta(
    words({
      option: 'at-least',
      value: 'SHARE',
      reads: 'share',
      help: 'like "50 % Saltmarsh": at least so much of a line, a type of clay (white, black, opaque, pastel, translucent, pearl, metallic, glitter, fluorescent) or one clay',
    }),
  ),
  atMost: shares.meta(
    words({
      option: 'at-most',
      value: 'SHARE',
      reads: 'share',
      help: 'at most so much of it: "30 % translucent"',
    }),
  ),
  halfPart: range(...FIND_LIMITS['half-part'])
    .exactOptional()
    .meta(
      words({
        option: 'half-part',
        value: 'DE00',
        help: 'half a part more or less of any clay may move the colour by this at most; where that rules out something closer, a pre-mix is proposed',
      }),
    ),
  effects: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'effects',
        help: 'also use clays that are not flat: translucent, pearl, metallic, glitter, fluorescent',
      }),
    ),
  batchG: range(...FIND_LIMITS.batch)
    .exactOptional()
    .meta(
      words({
        option: 'batch',
        value: 'GRAMS',
        help: 'so much is wanted in all, of no clay more than the stock holds',
      }),
    ),
});

export const findQuestion = z.strictObject({
  aim: aimSchema.meta(
    words({
      option: 'aim',
      value: 'COLOUR',
      example: '60,-20,20',
      help: 'the colour you want: 60,-20,20 (L, a, b under --light and --observer), #8a9b6c, Munsell "5GY 6/4", a clay, or a recipe of clays',
    }),
  ),
  tolerance: range(...FIND_LIMITS.tolerance)
    .default(FIND_DEFAULTS.tolerance)
    .meta(
      words({
        option: 'tolerance',
        value: 'DE00',
        help: 'how close is close enough; 1.8 is a match',
      }),
    ),
  mostClays: whole(FIND_LIMITS.clays)
    .default(FIND_DEFAULTS.mostClays)
    .meta(
      words({
        option: 'clays',
        value: 'N',
        help: 'most different clays in one recipe',
      }),
    ),
  parts: whole(FIND_LIMITS.parts)
    .default(FIND_DEFAULTS.parts)
    .meta(
      words({
        option: 'parts',
        value: 'N',
        help: 'most whole parts in one recipe',
      }),
    ),
  order: z
    .enum(ORDERS)
    .default(FIND_DEFAULTS.order)
    .meta(
      words({
        option: 'order',
        value: 'ORDER',
        help: 'which recipe comes first: the most likely to be close enough, the closest, that of the fewest clays, or the cheapest',
      }),
    ),
  top: whole(FIND_LIMITS.top)
    .default(FIND_DEFAULTS.top)
    .meta(words({ option: 'top', value: 'N', help: 'recipes to list' })),
  otherLights: z
    .array(z.enum(LIGHTS))
    .max(8)
    .readonly()
    .exactOptional()
    .meta(
      words({
        option: 'lights',
        value: '"D65, A"',
        reads: 'lights',
        noun: 'light',
        help: 'rank by the worst of these lights and --light; the aim is taken to look alike under each',
      }),
    ),
  relax: z
    .enum(RELAX)
    .exactOptional()
    .meta(words({ option: 'relax', value: 'WHAT', help: 'what may be off: it counts for half' })),
  rules: findRules.readonly().exactOptional(),
  stock: z
    .array(stockRow)
    .readonly()
    .exactOptional()
    .meta(
      words({
        help: 'the clays you have',
        file: {
          option: 'stock',
          holds: 'stock',
          help: 'a CSV file of your clays (docs/formats.md has it): the column clay, and if wanted line, grams, pack-grams, price and density. It gives lines, prices and weights',
        },
      }),
    ),
  exhaustive: z
    .boolean()
    .exactOptional()
    .meta(
      words({
        option: 'exhaustive',
        help: 'try every recipe one by one: the same answer, much later',
      }),
    ),
  mostSeconds: range(...FIND_LIMITS.seconds)
    .exactOptional()
    .meta(
      words({
        option: 'seconds',
        value: 'N',
        help: 'search no longer than this, and answer with the best so far',
      }),
    ),
  basis,
  viewing,
});
export type FindQuestion = z.output<typeof findQuestion>;
