import { z } from 'zod';
import { CLAY_CLASSES } from '../../core/clay/clay-class.ts';
import { EFFECTS } from '../../core/clay/effect-offset.ts';
import { LATENTS } from '../../core/clay/prior.ts';
import { BANDS } from '../../core/colour/grid.ts';
import { BASES } from '../../core/mixes/mix-graph.ts';
import { MOST_MODES, SHARED_UNKNOWNS } from '../../core/share/shared-clays.ts';
import { blockBody } from '../records/clay-bodies.ts';
import { BOOK_LIMITS } from '../records/limits.ts';
import {
  code,
  densityGPerCm3,
  lab,
  line,
  minutes,
  moneySum,
  name,
  note,
  range,
  sha256,
  share,
  tag,
  tempC,
} from '../records/pieces.ts';
import { MOST_PHOTO_LETTERS, SHARED_PHOTO, sharedPhotoFrom } from './shared-photo.ts';
import { sharerFields } from './sharer.ts';

export const SHARE_FORMAT = 'kneadwell-share';
export const SHARE_VERSION = 1;
/** A file past these is refused before anything else is looked at. */
export const SHARE_LIMITS = {
  bytes: 8 * 2 ** 20,
  lines: 200,
  clays: 500,
  mixes: 5000,
  palettes: 500,
  parts: 40,
  combinations: 5000,
  wishes: 500,
} as const;

const whole = z.int().min(-1e6).max(1e6);
const wholes = (length: number) => z.array(whole).length(length).readonly();
const place = (most: number) =>
  z
    .int()
    .min(0)
    .max(most - 1);
const gloss = range(0, 1);

const lineSchema = z
  .strictObject({
    name,
    heat: z.strictObject({ lowC: tempC, highC: tempC }).readonly().exactOptional(),
    neverExceedC: tempC.exactOptional(),
    minutesPer6Mm: minutes.exactOptional(),
  })
  .readonly();

const claySchema = z
  .strictObject({
    name,
    line: place(SHARE_LIMITS.lines).exactOptional(),
    clayType: blockBody.unwrap().shape.clayType,
    /** Colour of the clay alone, D50 and 2 degrees, read without the gloss counted as `gloss` says. */
    lab: lab.exactOptional(),
    densityGPerCm3: densityGPerCm3.exactOptional(),
    packageG: range(0, 1e6).exactOptional(),
    price: moneySum.readonly().exactOptional(),
  })
  .readonly();

const latentBasis = (count: number) =>
  z
    .strictObject({
      shapes: z.array(wholes(BANDS)).length(count).readonly(),
      residual: wholes(BANDS),
    })
    .readonly();

const meanSchema = z
  .strictObject({
    lnAbsorption: wholes(BANDS),
    lnScattering: wholes(BANDS),
    strengthSpread: range(0, 10),
  })
  .readonly();

const physics = z
  .strictObject({
    dilution: range(-1, 1),
    shareExponent: range(-0.9, 3),
    scatteringPerMm: range(1e-3, 1e4),
    /** Of dilution, ln scattering, exponent of shares and gloss. */
    spread: z.array(range(0, 10)).length(SHARED_UNKNOWNS).readonly(),
  })
  .readonly();

export const curvesSchema = z
  .strictObject({
    /** What a reading of the curves' colours holds of the gloss. */
    gloss: z.union([z.enum(['included', 'excluded']), gloss]),
    /** What the parts of the author's tiles count; volume where absent, as in files of before. */
    basis: z.enum(BASES).exactOptional(),
    absorption: latentBasis(14),
    scattering: latentBasis(9),
    means: z.partialRecord(z.enum(CLAY_CLASSES), meanSchema).readonly(),
    clays: z
      .array(
        z
          .strictObject({
            clay: place(SHARE_LIMITS.clays),
            clayClass: z.enum(CLAY_CLASSES),
            pinned: z.boolean().exactOptional(),
            weights: wholes(LATENTS),
            modes: z.array(wholes(LATENTS)).min(1).max(MOST_MODES).readonly(),
            effect: z
              .strictObject({
                effect: z.enum(EFFECTS),
                departure: z
                  .tuple([range(-100, 100), range(-100, 100), range(-100, 100)])
                  .readonly(),
                spread: z.tuple([range(0, 100), range(0, 100), range(0, 100)]).readonly(),
              })
              .readonly()
              .exactOptional(),
          })
          .readonly(),
      )
      .min(1)
      .max(SHARE_LIMITS.clays)
      .readonly(),
    physics,
    combinationSpread: range(0, 5),
    missFactor: range(1, 100),
    combinations: z
      .array(
        z
          .strictObject({
            /** Places among the clays of the curves, the main one first. */
            clays: z.array(place(SHARE_LIMITS.clays)).min(2).max(SHARE_LIMITS.parts).readonly(),
            departures: z.array(whole).max(SHARE_LIMITS.parts).readonly(),
            spread: z.array(whole.min(0)).max(SHARE_LIMITS.parts).readonly(),
          })
          .readonly(),
      )
      .max(SHARE_LIMITS.combinations)
      .readonly(),
    /** Lower triangle without the diagonal, a signed byte each, by rows, in base64. */
    correlation: z
      .string()
      .max(200_000)
      .regex(/^[A-Za-z0-9+/]*={0,2}$/)
      .exactOptional(),
  })
  .readonly();
export type ShareCurves = z.output<typeof curvesSchema>;

const colourSchema = z
  .strictObject({
    /** D50, 2 degrees. */
    lab,
    from: z.enum(['baked', 'predicted']),
    /** dE00; of a baked colour that of its reading. */
    plusMinus: range(0, 100),
    /** What the colour holds of the gloss. */
    gloss,
  })
  .readonly();

export const MIX_LOOKS = ['flat', 'shimmering', 'see-through'] as const;

const mixSchema = z
  .strictObject({
    code: code.exactOptional(),
    name: name.exactOptional(),
    basis: z.enum(BASES),
    parts: z
      .array(
        z.strictObject({ clay: place(SHARE_LIMITS.clays), parts: range(1e-6, 1e6) }).readonly(),
      )
      .min(1)
      .max(SHARE_LIMITS.parts)
      .readonly(),
    powders: z
      .array(z.strictObject({ name, share }).readonly())
      .max(SHARE_LIMITS.parts)
      .readonly()
      .exactOptional(),
    colour: colourSchema.exactOptional(),
    look: z.enum(MIX_LOOKS),
    tags: z.array(tag).max(100).readonly().exactOptional(),
    note: note.exactOptional(),
    /** All baked colours that were read, D50 and 2 degrees. */
    readings: z.array(lab).max(100).readonly().exactOptional(),
    /** Its photo, a place in `photos`. */
    photo: place(SHARED_PHOTO.photos).exactOptional(),
  })
  .refine((mix) => mix.code !== undefined || mix.name !== undefined, {
    error: 'a code or a name',
    path: ['name'],
  })
  .readonly();
export type ShareMix = z.output<typeof mixSchema>;

const wishSchema = z
  .strictObject({
    name,
    /** D50, 2 degrees. */
    lab,
    why: line(BOOK_LIMITS.name).exactOptional(),
    /** The line that it would widen, by name. */
    line: name.exactOptional(),
  })
  .readonly();
export type ShareWish = z.output<typeof wishSchema>;

const bodyShape = {
  format: z.literal(SHARE_FORMAT),
  version: z.literal(SHARE_VERSION),
  madeWith: line(100),
  title: name,
  ...sharerFields,
  lines: z.array(lineSchema).max(SHARE_LIMITS.lines).readonly(),
  clays: z.array(claySchema).max(SHARE_LIMITS.clays).readonly(),
  /** How the clays mix; absent where nothing was learned, or where the author keeps it. */
  curves: curvesSchema.exactOptional(),
  mixes: z.array(mixSchema).max(SHARE_LIMITS.mixes).readonly(),
  palettes: z
    .array(
      z
        .strictObject({
          name,
          mixes: z.array(place(SHARE_LIMITS.mixes)).max(SHARE_LIMITS.mixes).readonly(),
        })
        .readonly(),
    )
    .max(SHARE_LIMITS.palettes)
    .readonly(),
  /** JPEG pictures without anything else in base64; only where ticked. */
  photos: z
    .array(
      z
        .string()
        .max(MOST_PHOTO_LETTERS)
        .regex(/^[A-Za-z0-9+/]*={0,2}$/),
    )
    .max(SHARED_PHOTO.photos)
    .readonly()
    .exactOptional(),
  /** Colours that the author would like to have; only where ticked. */
  wishes: z.array(wishSchema).max(SHARE_LIMITS.wishes).readonly().exactOptional(),
};

/**
 * Recipes that leave a book, as docs/share-file.md has them. `seal` is the SHA-256 of the rest as canonical
 * JSON.
 * Refuses: unknown keys, numbers out of range, places that point at nothing
 */
export const shareFileSchema = z
  .strictObject({ ...bodyShape, seal: sha256 })
  .superRefine((file, context) => {
    const fault = structureFault(file);
    if (fault !== undefined) context.addIssue({ code: 'custom', message: fault });
  })
  .readonly();
export type ShareFile = z.output<typeof shareFileSchema>;
export type ShareFileBody = Omit<ShareFile, 'seal'>;

function structureFault(file: z.output<z.ZodObject<typeof bodyShape>>): string | undefined {
  const { lines, clays, curves, mixes, palettes, photos = [] } = file;
  if (clays.some(({ line }) => line !== undefined && line >= lines.length)) {
    return 'lines of its clays that are in the file';
  }
  for (const { parts } of mixes) {
    const named = parts.map(({ clay }) => clay);
    if (named.some((clay) => clay >= clays.length))
      return 'clays of its mixes that are in the file';
    if (new Set(named).size !== named.length) return 'every clay of a mix once';
  }
  if (palettes.some((palette) => palette.mixes.some((mix) => mix >= mixes.length))) {
    return 'mixes of its palettes that are in the file';
  }
  if (mixes.some(({ photo }) => photo !== undefined && photo >= photos.length)) {
    return 'photos of its mixes that are in the file';
  }
  if (photos.some((photo) => sharedPhotoFrom(photo) === undefined)) {
    return 'photos that are small JPEG pictures and nothing else';
  }
  return curves === undefined ? undefined : curvesFault(curves, clays.length);
}

function curvesFault(curves: ShareCurves, clayCount: number): string | undefined {
  const named = curves.clays.map(({ clay }) => clay);
  if (named.some((clay) => clay >= clayCount)) return 'curves of clays that are in the file';
  if (new Set(named).size !== named.length) return 'the curves of a clay once';
  if (curves.clays.some(({ clayClass }) => curves.means[clayClass] === undefined)) {
    return 'a mean for every class of its clays';
  }
  for (const { clays, departures, spread } of curves.combinations) {
    if (clays.some((clay) => clay >= named.length)) return 'combinations of clays with curves';
    if (new Set(clays).size !== clays.length) return 'every clay of a combination once';
    if (departures.length !== clays.length - 1 || spread.length !== departures.length) {
      return 'a departure for every clay of a combination but the first';
    }
  }
  return undefined;
}
