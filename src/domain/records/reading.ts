import { z } from 'zod';
import { EFFECTS, type Effect } from '../../core/clay/effect-offset.ts';
import { PARTS_SPREAD } from '../../core/clay/parts-spread.ts';
import { BASES, type Basis } from '../../core/mixes/mix-graph.ts';
import { type Recipe, sharesOf } from '../../core/notation/notation.ts';
import { withBefore } from '../../core/numeric/pairs.ts';
import { KINDS, type ReadingKind, SPREAD_OF_MEASURED } from './reading-kind.ts';

/** Lights a Lab may be given under; names of CIE 15:2018 (FL11 is also written F11). */
export const LIGHTS = ['D50', 'D65', 'A', 'FL11', 'LED-B3'] as const;
export const OBSERVERS = [2, 10] as const;
export const STATES = ['raw', 'baked'] as const;
/** `unstated`: learning works out whether such readings include the gloss. */
export const GEOMETRIES = ['included', 'excluded', 'unstated'] as const;

/**
 * The range of values accepted before one counts as a typing error. Wider than nature by what
 * instruments give: a calibrated zero reads a little below 0, a brightened white above 1.
 */
export const READING_RANGE = {
  lightness: [-0.5, 101],
  axis: [-200, 200],
  reflectance: [-0.02, 1.3],
  wavelengthNm: [300, 1100],
  spread: [0.001, 20],
  partsSpread: [0, 1],
  thicknessMm: [0.01, 100],
  backing: [0, 1],
} as const satisfies Record<string, readonly [number, number]>;

/** What a row that leaves a thing out is taken to mean; docs/formats.md gives each its reason. */
export const READING_DEFAULTS = {
  kind: 'measured',
  basis: 'volume',
  state: 'baked',
  light: 'D50',
  observer: 2,
  spreadOfLab: SPREAD_OF_MEASURED,
  spreadOfSpectrum: 0.2,
  geometryOfLab: 'unstated',
  /** An eye and a photo look past the gloss. */
  geometryOfEye: 'excluded',
  geometryOfSpectrum: 'included',
  backing: 0.8,
  partsSpreadOfMix: PARTS_SPREAD.ofMix,
  partsSpreadOfClay: PARTS_SPREAD.ofClay,
} as const;

export interface ReadingLab {
  /** L, a, b. */
  readonly values: readonly [number, number, number];
  readonly light: (typeof LIGHTS)[number];
  readonly observer: (typeof OBSERVERS)[number];
}

export interface ReadingSpectrum {
  /** Strictly rising. */
  readonly wavelengthsNm: readonly number[];
  /** 0-1, as measured: not resampled, not clipped, surface not taken off. */
  readonly reflectance: readonly number[];
}

/** Where a reading was written down, so that a doubt can be taken back to the row. */
export interface ReadingPlace {
  readonly file: string;
  /** 1 is the first line of the file. */
  readonly line: number;
}

const RECORD = 'record ';

/** The place of a reading that was never a row: its record. */
export function placeOfRecord(id: string): ReadingPlace {
  return { file: `${RECORD}${id}`, line: 1 };
}

/** Whether a place is a record of a book and not a row of a file. */
export function isRecord({ file }: ReadingPlace): boolean {
  return file.startsWith(RECORD);
}

/** Within what the name of a photo stands for one photo: its file, or the whole book. */
export function photosNamedIn(place: ReadingPlace): string {
  return isRecord(place) ? 'the book' : place.file;
}

/** One colour of one tile, with how it was got. At least one of `lab` and `spectrum` is there. */
export interface Reading {
  readonly tile: string;
  readonly of: Recipe;
  /** How the colour was got; only what is measured is fitted as closely as its spread says. */
  readonly kind: ReadingKind;
  readonly basis: Basis;
  readonly state: (typeof STATES)[number];
  readonly lab?: ReadingLab;
  readonly spectrum?: ReadingSpectrum;
  /** Standard deviation of one reading, CIELAB units per axis. */
  readonly spread: number;
  /** Whether the mirror-like part of the reflection is in the numbers. */
  readonly geometry: (typeof GEOMETRIES)[number];
  /** Counts where what lies behind can show, see `onlyFilmsThatShow`. */
  readonly thicknessMm?: number;
  /** Reflectance 0-1 of what lies behind; only where a thickness is given. */
  readonly backing?: number;
  /** Whether a clay in it is declared translucent, or all are declared not to be. */
  readonly translucent?: boolean;
  /** Name of the photo, picture or book it came from: its readings share one error. */
  readonly photo?: string;
  /** Where the clay is pearl, metallic, glittering or fluorescent; only on a tile of one clay. */
  readonly effect?: Effect;
  /** Relative standard deviation of each part count. */
  readonly partsSpread: number;
  /** Recipe and reading were looked at and are right, so learning never suspects them. */
  readonly checked?: boolean;
  readonly place: ReadingPlace;
}

const between = ([low, high]: readonly [number, number]) => z.number().min(low).max(high);
const text = z.string().min(1).max(10_000);

const termSchema = z.strictObject({ clay: text, parts: z.number().positive() }).readonly();

export const labSchema = z
  .strictObject({
    values: z
      .tuple([
        between(READING_RANGE.lightness),
        between(READING_RANGE.axis),
        between(READING_RANGE.axis),
      ])
      .readonly(),
    light: z.enum(LIGHTS),
    observer: z.literal(OBSERVERS),
  })
  .readonly();

export const spectrumSchema = z
  .strictObject({
    wavelengthsNm: z.array(between(READING_RANGE.wavelengthNm)).min(2).readonly(),
    reflectance: z.array(between(READING_RANGE.reflectance)).min(2).readonly(),
  })
  .refine((s) => s.wavelengthsNm.length === s.reflectance.length, {
    error: 'as many reflectances as wavelengths',
  })
  .refine((s) => withBefore(s.wavelengthsNm).every(([nm, before]) => nm > before), {
    error: 'wavelengths that rise',
  })
  .readonly();

/**
 * The shape of a reading that crosses a boundary (a file, a request, a saved book).
 * Refuses: numbers that are not finite or lie outside READING_RANGE, a reading with neither Lab
 * nor spectrum, a backing without a thickness, an effect of a mix, unknown keys.
 */
export const readingSchema: z.ZodType<Reading> = z
  .strictObject({
    tile: text,
    of: z.array(termSchema).min(1).readonly(),
    kind: z.enum(KINDS),
    basis: z.enum(BASES),
    state: z.enum(STATES),
    lab: labSchema.exactOptional(),
    spectrum: spectrumSchema.exactOptional(),
    spread: between(READING_RANGE.spread),
    geometry: z.enum(GEOMETRIES),
    thicknessMm: between(READING_RANGE.thicknessMm).exactOptional(),
    backing: between(READING_RANGE.backing).exactOptional(),
    translucent: z.boolean().exactOptional(),
    photo: text.exactOptional(),
    effect: z.enum(EFFECTS).exactOptional(),
    partsSpread: between(READING_RANGE.partsSpread),
    checked: z.boolean().exactOptional(),
    place: z.strictObject({ file: z.string(), line: z.int().min(1) }).readonly(),
  })
  .refine((r) => r.lab !== undefined || r.spectrum !== undefined, {
    error: 'a Lab or a spectrum',
  })
  .refine((r) => r.backing === undefined || r.thicknessMm !== undefined, {
    error: 'a thickness where a backing is given',
  })
  .refine((r) => r.effect === undefined || sharesOf(r.of).length === 1, {
    error: 'an effect only where there is one clay',
  })
  .readonly();
