import { z } from 'zod';
import { COLOUR_FAMILIES } from '../core/colour/colour-families.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { FARTHEST_DE00, MIX_FILTERS, MIX_ORDERS } from '../domain/records/mix-filters.ts';
import { idSchema, parts } from '../domain/records/pieces.ts';
import { KINDS } from '../domain/records/reading-kind.ts';
import { recordSchema } from './book-routes.ts';
import { type ApiRoutes, flag, real, several, whole } from './route.ts';

const lab = z.tuple([z.number(), z.number(), z.number()]);
const readingKind = z.enum(KINDS);

/** Most rows of one page. */
const MOST_ROWS = 400;
/** Most things whose colours are asked for by name. */
const MOST_NAMED = 200;

const page = {
  sheet: z.string().max(120).exactOptional(),
  from: whole(0, 1e7).default(0),
  limit: whole(1, MOST_ROWS).default(100),
};

const listOf = <T extends z.ZodType>(row: T, id: string) =>
  z
    .object({
      /** Sent back, it gives other rows of the same order. */
      sheet: z.string(),
      total: z.int().min(0),
      from: z.int().min(0),
      rows: z.array(row),
      /** The book changed since the sheet was opened: its order may be another by now. */
      behind: z.boolean(),
      /** When no mix matches: how many would match without one of the filters. */
      without: z
        .array(
          z.object({
            leave: z.enum(MIX_FILTERS),
            total: z.int().min(0),
          }),
        )
        .exactOptional(),
    })
    .meta({ id });

const mixRow = z
  .object({
    id: z.string(),
    code: z.string().exactOptional(),
    name: z.string().exactOptional(),
    lab: lab.exactOptional(),
    readingKind: z.enum([...KINDS, 'predicted']).exactOptional(),
    /** What its parts count; beside the parts. */
    basis: z.enum(BASES).exactOptional(),
    parts: z
      .array(
        z.object({
          of: z.object({ kind: z.enum(['block', 'mix']), id: idSchema }),
          parts: z.number(),
          /** Of mixes alone. */
          name: z.string().exactOptional(),
          lab: lab.exactOptional(),
        }),
      )
      .exactOptional(),
    tags: z.array(z.string()).exactOptional(),
    /** Deleted since the sheet was opened, or emptied from the bin. */
    gone: z.literal(true).exactOptional(),
  })
  .meta({ id: 'MixRow' });

const tileReading = z.object({
  id: idSchema,
  lab,
  readingKind,
  override: z.literal(true).exactOptional(),
  photoId: idSchema.exactOptional(),
});

const tileRow = z
  .object({
    id: z.string(),
    kind: z.enum(['tile', 'block']),
    code: z.string().exactOptional(),
    name: z.string().exactOptional(),
    of: z
      .object({ kind: z.enum(['block', 'mix']), id: idSchema, name: z.string().exactOptional() })
      .exactOptional(),
    raw: tileReading.exactOptional(),
    baked: tileReading.exactOptional(),
    parts: parts.exactOptional(),
    gone: z.literal(true).exactOptional(),
  })
  .meta({ id: 'TileRow' });

export const LIST_ROUTES = {
  mixList: {
    says: 'Mixes as tiles, from any place of an order that stays as it was when it was opened',
    who: 'paired',
    query: z
      .strictObject({
        ...page,
        sort: z.enum(MIX_ORDERS).default('changed'),
        descending: flag.exactOptional(),
        /** Parts and tags of every row. */
        parts: flag.exactOptional(),
        text: z.string().min(1).max(500).exactOptional(),
        tag: z.string().min(1).max(240).exactOptional(),
        line: idSchema.exactOptional(),
        block: idSchema.exactOptional(),
        colour: z.enum(COLOUR_FAMILIES).exactOptional(),
        /** Near this colour, D50, 2 degrees: all three, or none. */
        l: real(-0.5, 101).exactOptional(),
        a: real(-200, 200).exactOptional(),
        b: real(-200, 200).exactOptional(),
        /** How near, CIEDE2000. */
        within: real(0, FARTHEST_DE00).default(3.5),
        box: idSchema.exactOptional(),
        /** A batch of so many grams can be made of what is at hand. */
        stockG: real(0.01, 1e6).exactOptional(),
        tile: z.enum(['with', 'without']).exactOptional(),
      })
      .refine(({ l, a, b }) => new Set([l, a, b].map((v) => v === undefined)).size === 1, {
        error: 'l, a and b together',
        path: ['l'],
      }),
    answer: listOf(mixRow, 'MixList'),
  },
  tileList: {
    says: 'Tiles, read or not, and blocks that were read, the newest tiles first, from any place of the order',
    who: 'paired',
    query: z.strictObject(page),
    answer: listOf(tileRow, 'TileList'),
  },
  tagsOfMixes: {
    says: 'Tags of mixes, the most used first',
    who: 'paired',
    query: z.strictObject({ limit: whole(1, 500).default(100) }),
    answer: z.object({ tags: z.array(z.object({ tag: z.string(), mixes: z.int().min(1) })) }),
  },
  colours: {
    says: 'The best colour that was read of each block, or of the blocks, mixes and tiles named; of mixes that were not read, the predicted one',
    who: 'paired',
    query: z.strictObject({ of: several(idSchema, MOST_NAMED).exactOptional() }),
    answer: z.object({
      colours: z.array(
        z.object({
          id: idSchema,
          lab,
          readingKind,
          state: z.enum(['raw', 'baked']),
          spread: z.number(),
          readingId: idSchema,
          photoId: idSchema.exactOptional(),
        }),
      ),
      /** Of mixes without a reading: by the newest clay model, else as it was when the mix was saved. */
      predicted: z.array(z.object({ id: idSchema, lab, when: z.enum(['now', 'saved']) })),
      /** Colours are still being predicted: ask again in a moment. */
      computing: z.boolean(),
    }),
  },
  samples: {
    says: 'Tiles of a block or mix, and every reading of it, the surest first',
    who: 'paired',
    params: z.strictObject({ id: idSchema }),
    answer: z.object({
      tiles: z.array(recordSchema),
      readings: z.array(recordSchema),
    }),
  },
  wordsInText: {
    says: 'Mixes whose code or name stands in a text, as a page of an old book names them',
    who: 'paired',
    body: z.strictObject({ text: z.string().max(64 * 1024) }).meta({ id: 'TextOfPage' }),
    answer: z.object({
      mixes: z.array(
        z.object({
          id: idSchema,
          code: z.string().exactOptional(),
          name: z.string().exactOptional(),
        }),
      ),
    }),
  },
} as const satisfies Partial<ApiRoutes>;
