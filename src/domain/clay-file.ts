import { z } from 'zod';
import { CLAY_CLASSES } from '../core/clay/clay-class.ts';
import { EFFECTS } from '../core/clay/effect-offset.ts';
import { TILE_ROLES } from '../core/clay/left-out.ts';
import { LATENTS } from '../core/clay/prior.ts';
import { SHARED } from '../core/clay/tile-equations.ts';
import { BASES } from '../core/mixes/mix-graph.ts';
import { withBefore } from '../core/numeric/pairs.ts';
import { ERROR_SORTS } from './error-sorts.ts';
import { explanationsSchema } from './explanation.ts';
import { KINDS } from './records/reading-kind.ts';

/** How files of before sorted the errors of tiles. */
const OLDER_SORTS = ['measured', 'not measured'] as const;

export const CLAY_FORMAT = 'kneadwell-clay';
/** Raised when the shape changes; upgrade-clay-file.ts reads the versions before. */
export const CLAY_VERSION = 3;

// z.number() takes neither NaN nor infinities, so none can come out of a file.
const number = z.number();
const share = number.min(0);
const count = z.int().min(0);
const text = z.string().min(1).max(10_000);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const lab = z.tuple([number, number, number]).readonly();
/** Little-endian Float32 values in base64. */
const float32s = z
  .string()
  .regex(/^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/);

/** How most readings saw the gloss; about 0 to 1 where nothing shows whether they include it. */
export const glossSchema = z.union([z.enum(['included', 'excluded']), number.min(-1).max(2)]);

const claySchema = z
  .strictObject({
    name: text,
    clayClass: z.enum(CLAY_CLASSES),
    group: count,
    pinned: z.boolean(),
    tiles: count,
    ownTiles: count,
    /** It came with somebody else's share file: recipes of one's own leave it out. */
    shared: z.literal(true).exactOptional(),
    latent: z.array(number).length(LATENTS).readonly(),
    /** Readings of each kind that hold it. */
    readings: z.partialRecord(z.enum(KINDS), z.int().min(1)).readonly(),
    /** A special clay: the block of its departure among the unknowns, and the departure, CIELAB. */
    effect: z
      .strictObject({
        effect: z.enum(EFFECTS),
        block: count,
        departure: z.array(number).length(3).readonly(),
      })
      .readonly()
      .exactOptional(),
  })
  .readonly();

const combinationSchema = z
  .strictObject({
    block: count,
    main: count,
    others: z.array(count).min(1).readonly(),
    departures: z.array(number).min(1).readonly(),
  })
  .readonly();

const physicsSchema = z
  .strictObject({
    dilution: number,
    /** Absent in files of before, where amounts are shares. */
    shareExponent: number.exactOptional(),
    scatteringPerMm: number.positive(),
  })
  .readonly();

/** The clays by another explanation of the readings, in the order of `clays`. */
const alternativeSchema = z
  .strictObject({
    probability: z.number().min(0).max(1),
    clays: z
      .array(
        z
          .strictObject({
            clayClass: z.enum(CLAY_CLASSES),
            latent: z.array(number).length(LATENTS).readonly(),
            pinned: z.boolean(),
          })
          .readonly(),
      )
      .min(1)
      .readonly(),
    physics: physicsSchema,
    combinations: z.array(combinationSchema).readonly(),
  })
  .readonly();

/**
 * Blocks of the factor, column by column in order of elimination. The diagonal block comes first, as its
 * lower triangle by rows; the others are whole.
 */
const factorSchema = z
  .strictObject({
    order: z.array(count).min(1).readonly(),
    sizes: z.array(z.int().min(1)).min(1).readonly(),
    columns: z
      .array(
        z.strictObject({ rows: z.array(count).min(1).readonly(), values: float32s }).readonly(),
      )
      .min(1)
      .readonly(),
  })
  .readonly();

export const reportSchema = z
  .strictObject({
    iterations: count,
    converged: z.boolean(),
    lastMove: share,
    leaveOneOut: z
      .array(
        z
          .strictObject({
            tile: text,
            dE00: share,
            lab,
            read: lab,
            expected: share,
            special: z.boolean(),
            /** Absent in files of before. */
            role: z.enum(TILE_ROLES).exactOptional(),
            standardised: share.exactOptional(),
            kind: z.enum(KINDS),
          })
          .readonly(),
      )
      .readonly(),
    meanDE00: share,
    medianDE00: share,
    worstDE00: share,
    /** The same errors by sort of tile, sorts without a tile left out. */
    apart: z
      .array(
        z
          .strictObject({
            of: z.enum([...ERROR_SORTS, ...OLDER_SORTS]),
            readings: count,
            meanDE00: share,
            medianDE00: share,
            worstDE00: share,
          })
          .readonly(),
      )
      .readonly(),
    drifts: z
      .array(
        z
          .strictObject({
            clay: text,
            photo: text,
            factor: share,
            sureness: share,
            sentence: text,
          })
          .readonly(),
      )
      .readonly(),
    outlying: z
      .array(z.strictObject({ tile: text, weight: share, dE00: share, sentence: text }).readonly())
      .readonly(),
    groups: z
      .array(
        z
          .strictObject({
            clays: z.array(text).min(1).readonly(),
            reference: text,
            white: z.boolean(),
          })
          .readonly(),
      )
      .readonly(),
    clays: z
      .array(
        z
          .strictObject({
            name: text,
            clayClass: z.enum(CLAY_CLASSES),
            tiles: count,
            ownTiles: count,
            expectedDE: share,
            knownFrom: z.enum(KINDS),
            effect: z.enum(EFFECTS).exactOptional(),
            /** Its plain tiles beside the prediction; absent without one, and in files of before. */
            plain: z
              .strictObject({ dE00: share, within: z.boolean(), why: text.exactOptional() })
              .readonly()
              .exactOptional(),
          })
          .readonly(),
      )
      .readonly(),
  })
  .readonly();

/** The file without its seal: everything that was learned and what it was learned from. */
const bodyShape = {
  format: z.literal(CLAY_FORMAT),
  version: z.literal(CLAY_VERSION),
  /** The program that wrote it, with its version. */
  madeWith: text,
  /** What the parts of every recipe of this model count. */
  basis: z.enum(BASES),
  geometry: glossSchema,
  /** Of the expectations the fit started from; with others the coefficients mean another clay. */
  priorHash: text,
  readings: z
    .strictObject({
      files: z.array(z.strictObject({ name: text, sha256, readings: count }).readonly()).readonly(),
      /** Of every reading learned from, without its place, as canonical JSON. */
      hashes: z.array(sha256).min(1).readonly(),
    })
    .readonly(),
  clays: z.array(claySchema).min(1).readonly(),
  physics: physicsSchema,
  combinations: z.array(combinationSchema).readonly(),
  sharedBlock: count,
  combinationSpread: share,
  /** Factor on every standard deviation; 1 where absent, as in files of before. */
  missFactor: number.min(1).exactOptional(),
  factor: factorSchema,
  /** While nobody has settled which tiles are wrong: what else may be so, the likeliest first. */
  explanations: explanationsSchema.exactOptional(),
  /** By the explanations after the first, whose clays the model has. */
  alternatives: z.array(alternativeSchema).readonly().exactOptional(),
  report: reportSchema,
};

/**
 * What was learned of a set of clays, as a file: replaced as a whole, never edited.
 * `seal` is the SHA-256 of the rest as canonical JSON (keys sorted, no spaces), so that damage
 * anywhere is seen, also where the damaged number would pass for a number.
 * Refuses: unknown keys, numbers that are not finite, blocks that do not fit together
 */
export const clayFileSchema = z
  .strictObject({ ...bodyShape, seal: sha256 })
  .superRefine((file, context) => {
    const fault = structureFault(file);
    if (fault !== undefined) context.addIssue({ code: 'custom', message: fault });
  })
  .readonly();

export type ClayFile = z.infer<typeof clayFileSchema>;
export type ClayFileBody = Omit<ClayFile, 'seal'>;

/** What does not fit together, if anything: every index must point into what is there. */
function structureFault(file: z.infer<z.ZodObject<typeof bodyShape>>): string | undefined {
  const { clays, combinations, sharedBlock, factor, alternatives = [] } = file;
  const { order, sizes, columns } = factor;
  const blocks = order.length;
  if (new Set(order).size !== blocks || order.some((block) => block >= blocks)) {
    return 'the order of the blocks';
  }
  if (sizes.length !== blocks || columns.length !== blocks) return 'the number of blocks';
  const sizeOf = new Map(order.map((block, at) => [block, sizes[at]]));
  if (clays.some((_, i) => sizeOf.get(i) !== LATENTS)) return 'the blocks of the clays';
  if (clays.some((p) => p.effect !== undefined && sizeOf.get(p.effect.block) !== 3)) {
    return 'the blocks of the special clays';
  }
  if (sharedBlock < clays.length || ![2, SHARED].includes(sizeOf.get(sharedBlock) ?? 0)) {
    return 'the shared block';
  }
  for (const { block, main, others, departures } of combinations) {
    const members = [main, ...others];
    if (members.some((i) => i >= clays.length) || new Set(members).size !== members.length) {
      return 'the clays of a combination';
    }
    if (departures.length !== others.length || sizeOf.get(block) !== others.length) {
      return 'the block of a combination';
    }
  }
  for (const other of alternatives) {
    const members = other.combinations.flatMap(({ main, others }) => [main, ...others]);
    const uneven = other.combinations.some((c) => c.departures.length !== c.others.length);
    if (other.clays.length !== clays.length || uneven || members.some((i) => i >= clays.length)) {
      return 'an alternative';
    }
  }
  for (const [at, { rows }] of columns.entries()) {
    const inside = rows.every((row, i) => row < blocks && (i > 0 || row === at));
    const rising = withBefore(rows).every(([row, before]) => row > before);
    if (!inside || !rising) return 'the rows of a column';
  }
  return undefined;
}
