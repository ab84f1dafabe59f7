import type { Lab } from '../colour/triples.ts';
import type { LightName, ObserverDeg } from '../colour/weights.ts';
import type { Effect } from './effect-offset.ts';

/** Spread of a reading that says nothing, CIELAB units per axis: about that of all colours there are. */
export const SAYS_NOTHING = 25;

/** One reading of one baked tile, as the fit uses it. */
export interface TileReading {
  /** Name of the tile, for reports. */
  readonly tile: string;
  /** What it is made of; shares by volume (or all by weight) sum to 1, no clay twice. */
  readonly parts: readonly { readonly clay: string; readonly share: number }[];
  readonly colour: LabColour | SpectralColour;
  /** Standard deviation of one reading, CIELAB units per axis. */
  readonly spread: number;
  /** `unstated`: the fit works out whether such readings hold the gloss. */
  readonly geometry: 'included' | 'excluded' | 'unstated';
  /**
   * Thickness and backing where they were written down; they count where what lies behind can show,
   * see `onlyFilmsThatShow`. The backing is its reflectance as seen by light inside the clay: one
   * number, or 36 bands where it has a colour.
   */
  readonly film?: { readonly thicknessMm: number; readonly backing: number | Float64Array };
  /** Whether a clay in the tile is declared translucent, or all are declared not to be. */
  readonly translucent?: boolean;
  /** Tiles of one photo share its correction error, as do colours from one picture or book. */
  readonly photo?: string;
  /**
   * Standard deviation of that shared error, CIELAB units per axis; the default of the fit when
   * absent.
   */
  readonly photoSpread?: number;
  /** Given on a tile of one clay whose clay is pearl, metallic, glittering or fluorescent. */
  readonly effect?: Effect;
  /** Relative standard deviation of each part. */
  readonly partsSpread: number;
  /** Somebody looked and found recipe and reading right: the row is never suspected. */
  readonly checked?: boolean;
}

export interface LabColour {
  readonly kind: 'lab';
  readonly lab: Lab;
  readonly light: LightName;
  readonly observer: ObserverDeg;
}

export interface SpectralColour {
  readonly kind: 'spectrum';
  /** 36 bands, 0-1; meaningless where not observed. */
  readonly values: Float64Array;
  /** 36 flags, 1 where the instrument measured. */
  readonly observed: Uint8Array;
}
