import type { Lab } from '../core/colour/triples.ts';
import type { Point } from '../core/photo/plane-view.ts';
import type { Quality } from '../core/photo/tile-marks.ts';

export type Corners = readonly [Point, Point, Point, Point];

/** One tile of a photo; pixels are counted upright. */
export interface TileResult {
  readonly name: string;
  readonly centre: Point;
  readonly outline: readonly Point[];
  /** D50, 2 degrees. */
  readonly lab: Lab;
  /** 3 x 3. */
  readonly cov: readonly (readonly number[])[];
  /** Root mean square an axis of what it does not share with the other tiles of the photo. */
  readonly spread: number;
  readonly quality: Quality;
  readonly marks: readonly { readonly mark: string; readonly reason: string }[];
}

/** What was read in one photo, as other programs and the page take it; docs/photo.md tells each field. */
export interface PhotoResult {
  readonly file: string;
  readonly kind: string;
  readonly bits: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly turned: boolean;
  readonly profile: string;
  readonly profileFollowed: boolean;
  readonly sheet: {
    readonly name: string;
    readonly markersSeen: number;
    readonly missMm: number;
    /** Of the paper. */
    readonly corners: Corners;
    /** Outer corners of its corner markers, as they are told by hand. */
    readonly markerCorners: Corners;
    readonly doubts: readonly string[];
  } | null;
  readonly chart: {
    readonly patches: readonly {
      readonly name: string;
      readonly centre: Point;
      readonly light: readonly number[];
      readonly mark: string | null;
    }[];
    /** Outer corners of its patches, A1 first. */
    readonly corners: Corners;
    readonly correction: {
      readonly terms: string;
      readonly toneCurve: unknown;
      readonly codes: string;
      readonly patchesUsed: number;
      readonly heldOutMean: number;
      readonly heldOutWorst: number;
    } | null;
  } | null;
  readonly rough: { readonly balanced: string } | null;
  readonly tiles: readonly TileResult[];
  /** Covariance of all tiles together, in their order. */
  readonly sharedCov: readonly (readonly number[])[];
  /** How far off a colour, and a difference of two, is on average, dE00; poor tiles left out. */
  readonly tells: { readonly colours: number | null; readonly differences: number | null };
  readonly emptyPlaces: readonly string[];
  readonly notes: readonly string[];
  readonly readMs: number;
}

/** A control tile against its earlier readings. */
export interface DriftNote {
  readonly name: string;
  readonly dE00: number;
  readonly shift: Lab;
  readonly earlier: number;
  readonly chance: number;
  readonly drifted: boolean;
}
