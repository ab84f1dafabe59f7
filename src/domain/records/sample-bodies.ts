import { z } from 'zod';
import { EFFECTS } from '../../core/clay/effect-offset.ts';
import { BASES } from '../../core/mixes/mix-graph.ts';
import { BOOK_LIMITS } from './limits.ts';
import { chartAsked, cornersAsked, pixel, sheetAsked } from './photo-request.ts';
import {
  bakeDone,
  code,
  common,
  day,
  idSchema,
  lab,
  line,
  massG,
  moment,
  name,
  note,
  parts,
  range,
  refTo,
  sha256,
  share,
  thicknessMm,
} from './pieces.ts';
import { GEOMETRIES, labSchema, READING_RANGE, STATES, spectrumSchema } from './reading.ts';
import { KINDS } from './reading-kind.ts';
import { TILE_CONDITIONS } from './tile-conditions.ts';

/** A box, jar or drawer, and its contents besides the tiles and lots that name the box themselves. */
export const boxBody = z
  .strictObject({
    ...common,
    /** What is written on the lid. */
    lid: name,
    /** Where it stands. */
    place: line(BOOK_LIMITS.name).exactOptional(),
    insideOf: idSchema.exactOptional(),
    holds: z
      .array(
        z
          .strictObject({
            of: refTo('block', 'mix', 'powder', 'figure', 'tile'),
            massG: massG.exactOptional(),
            note: note.exactOptional(),
          })
          .readonly(),
      )
      .max(BOOK_LIMITS.list)
      .readonly(),
  })
  .readonly();

/** A physical sample of a block, a mix, or of a recipe that is kept nowhere else. */
export const tileBody = z
  .strictObject({
    ...common,
    /** Stamped into it before baking. */
    code: code.exactOptional(),
    name: name.exactOptional(),
    of: z.union([refTo('block', 'mix'), z.strictObject({ parts }).readonly()]),
    /** What its own parts count; a tile of a mix counts as its mix does. */
    basis: z.enum(BASES),
    state: z.enum(STATES),
    madeOn: day.exactOptional(),
    thicknessMm: thicknessMm.exactOptional(),
    /** Reflectance 0-1 of what lies behind; only where a thickness is given. */
    backing: range(...READING_RANGE.backing).exactOptional(),
    /** Relative standard deviation of each part count. */
    partsSpread: range(...READING_RANGE.partsSpread).exactOptional(),
    /** In order; a tile that was baked again has several. */
    bakes: z.array(bakeDone).max(50).readonly(),
    finish: line(BOOK_LIMITS.name).exactOptional(),
    condition: z
      .array(z.enum(TILE_CONDITIONS))
      .max(TILE_CONDITIONS.length)
      .readonly()
      .exactOptional(),
    purchaseIds: z.array(idSchema).max(BOOK_LIMITS.parts).readonly().exactOptional(),
    boxId: idSchema.exactOptional(),
  })
  .refine((t) => t.backing === undefined || t.thicknessMm !== undefined, {
    error: 'a thickness where a backing is given',
    path: ['backing'],
  })
  .readonly();

/** Where in a photo: shares of its width and height, turned as it is shown. */
const region = z
  .strictObject({ left: share, top: share, width: share, height: share })
  .refine((r) => r.left + r.width <= 1 + 1e-9 && r.top + r.height <= 1 + 1e-9, {
    error: 'a region inside the photo',
  })
  .readonly();

/**
 * One colour of a tile, or of a block or mix of which no tile was made (tapped in a picture, claimed).
 * Holds every field of a reading in a file; see `readingFromRecords`.
 */
export const readingBody = z
  .strictObject({
    ...common,
    of: refTo('tile', 'block', 'mix'),
    readingKind: z.enum(KINDS),
    /** When it was read: a tile may be read raw and baked. */
    state: z.enum(STATES),
    readAt: moment.exactOptional(),
    lab: labSchema.exactOptional(),
    spectrum: spectrumSchema.exactOptional(),
    spread: range(...READING_RANGE.spread),
    geometry: z.enum(GEOMETRIES),
    effect: z.enum(EFFECTS).exactOptional(),
    /** Readings of one source share one error: a kept photo, or the name of a picture or book. */
    photoId: idSchema.exactOptional(),
    region: region.exactOptional(),
    source: line(BOOK_LIMITS.name).exactOptional(),
    /** What took the reading, such as an instrument or a phone, in the user's words. */
    instrument: line(BOOK_LIMITS.name).exactOptional(),
    /** The user's own opinion, which counts over the reading; the reading stays saved. D50, 2 degrees. */
    override: z
      .strictObject({ lab: lab.exactOptional(), note, at: moment.exactOptional() })
      .readonly()
      .exactOptional(),
    /** Recipe and reading were looked at and are right, so learning never suspects them. */
    checked: z.boolean().exactOptional(),
    /** Row it was brought in from. */
    place: z
      .strictObject({ file: line(1000), line: z.int().min(1).max(1e9) })
      .readonly()
      .exactOptional(),
  })
  .refine((r) => r.lab !== undefined || r.spectrum !== undefined, {
    error: 'a Lab or a spectrum',
    path: ['lab'],
  })
  .refine((r) => r.region === undefined || r.photoId !== undefined, {
    error: 'a photo where a region is given',
    path: ['region'],
  })
  .readonly();

export const PHOTO_TYPES = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/heic': 'heic',
  'image/tiff': 'tif',
  'image/webp': 'webp',
  'image/x-adobe-dng': 'dng',
} as const;

/** Most letters of a chart's own file that are kept beside the photo; 24 readings take a few thousand. */
const MOST_CHART_LETTERS = 20_000;

/** How the tiles of a photo were read, for reading them again; whatever is absent is looked for. */
export const readAs = z
  .strictObject({
    sheet: sheetAsked.exactOptional(),
    chart: chartAsked(MOST_CHART_LETTERS).exactOptional(),
    /** A pixel on the chart that is meant, where there are several. */
    chartAt: pixel.exactOptional(),
    corners: cornersAsked.exactOptional(),
  })
  .readonly();

/** A picture kept as it came; the record names its bytes by checksum. */
export const photoBody = z
  .strictObject({
    ...common,
    sha256,
    bytes: z
      .int()
      .min(1)
      .max(2 ** 32),
    mediaType: z.enum(Object.keys(PHOTO_TYPES) as (keyof typeof PHOTO_TYPES)[]),
    fileName: line(BOOK_LIMITS.name).exactOptional(),
    widthPx: z.int().min(1).max(100_000).exactOptional(),
    heightPx: z.int().min(1).max(100_000).exactOptional(),
    takenAt: moment.exactOptional(),
    name: name.exactOptional(),
    readAs: readAs.exactOptional(),
  })
  .readonly();
