import { z } from 'zod';

const lab = z.tuple([z.number(), z.number(), z.number()]).readonly();
const point = z.tuple([z.number(), z.number()]).readonly();
const rows = z.array(z.array(z.number()).readonly()).readonly();
const corners = z.tuple([point, point, point, point]).readonly();

/** One tile of a photo; pixels are counted upright. */
const tileResultSchema = z
  .object({
    name: z.string(),
    centre: point,
    outline: z.array(point).readonly(),
    /** D50, 2 degrees. */
    lab,
    /** 3 x 3. */
    cov: rows,
    /** Root mean square an axis of what it does not share with the other tiles of the photo. */
    spread: z.number(),
    quality: z.enum(['good', 'usable', 'poor']),
    marks: z.array(z.object({ mark: z.string(), reason: z.string() }).readonly()).readonly(),
  })
  .readonly();
export type TileResult = z.output<typeof tileResultSchema>;

const chartResultSchema = z
  .object({
    patches: z
      .array(
        z
          .object({
            name: z.string(),
            centre: point,
            light: z.array(z.number()).readonly(),
            mark: z.string().nullable(),
          })
          .readonly(),
      )
      .readonly(),
    /** Outer corners of its patches, A1 first. */
    corners,
    /** The same of another chart in the photo. */
    otherCorners: corners.nullable(),
    correction: z
      .object({
        terms: z.string(),
        toneCurve: z.unknown(),
        codes: z.string(),
        patchesUsed: z.number(),
        heldOutMean: z.number(),
        heldOutWorst: z.number(),
      })
      .readonly()
      .nullable(),
  })
  .readonly();

/** What was read in one photo, as other programs and the page take it; docs/photo.md explains each field. */
export const photoResultSchema = z
  .object({
    file: z.string(),
    kind: z.string(),
    bits: z.number(),
    widthPx: z.number(),
    heightPx: z.number(),
    turned: z.boolean(),
    profile: z.string(),
    profileFollowed: z.boolean(),
    sheet: z
      .object({
        name: z.string(),
        markersSeen: z.number(),
        missMm: z.number(),
        /** Of the paper. */
        corners,
        /** Outer corners of its corner markers, as a hand points at them. */
        markerCorners: corners,
        doubts: z.array(z.string()).readonly(),
      })
      .readonly()
      .nullable(),
    chart: chartResultSchema.nullable(),
    rough: z.object({ balanced: z.string() }).readonly().nullable(),
    tiles: z.array(tileResultSchema).readonly(),
    /** Covariance of all tiles together, in their order. */
    sharedCov: rows,
    /** How far off a colour, and a difference of two, is on average, dE00; poor tiles left out. */
    tells: z
      .object({ colours: z.number().nullable(), differences: z.number().nullable() })
      .readonly(),
    emptyPlaces: z.array(z.string()).readonly(),
    notes: z.array(z.string()).readonly(),
    readMs: z.number(),
  })
  .readonly();
export type PhotoResult = z.output<typeof photoResultSchema>;

/** A control tile against its earlier readings. */
export const driftSchema = z
  .object({
    name: z.string(),
    dE00: z.number(),
    shift: lab,
    earlier: z.number(),
    chance: z.number(),
    drifted: z.boolean(),
  })
  .readonly();
export type DriftNote = z.output<typeof driftSchema>;
