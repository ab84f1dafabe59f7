import { bridged, SECTORS, sectorOf } from './edge.ts';
import { HUE_WORDS, type HueWord, hueWord } from './hue-words.ts';
import { lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

/** Slices of lightness, from black to white. */
const SLICES = 20;
const THICK = 100 / SLICES;
const SECTOR_RADIANS = (2 * Math.PI) / SECTORS;
const SECTOR_DEGREES = 360 / SECTORS;

/** How far some colours reach from grey: the largest chroma of each hue sector in each slice of lightness. */
export interface HueRange {
  /** By slice, then by sector; 0 where there is no colour. */
  readonly chroma: Float64Array;
}

export function rangeOf(points: Iterable<Lab>): HueRange {
  const chroma = new Float64Array(SLICES * SECTORS);
  for (const lab of points) {
    const [lightness, own, hue] = lchFromLab(lab);
    const at = placeOf(lightness, hue);
    if (own > chroma[at]) chroma[at] = own;
  }
  return { chroma };
}

/** The largest chroma of a range at a lightness and a hue. */
export function strongestIn({ chroma }: HueRange, lightness: number, hue: number): number {
  return chroma[placeOf(lightness, hue)];
}

function placeOf(lightness: number, hue: number): number {
  const slice = Math.min(SLICES - 1, Math.max(0, Math.floor(lightness / THICK)));
  return slice * SECTORS + sectorOf(hue);
}

/** The range of two sets of colours together. */
export function joined(one: HueRange, other: HueRange): HueRange {
  return { chroma: one.chroma.map((own, at) => Math.max(own, other.chroma[at])) };
}

/**
 * Size of a range by hue: everything between grey and its strongest colours.
 * Units:   cubes of CIELAB units
 * Limits:  the strongest colour of a sector counts for all of the sector, so that a solid with flat sides comes
 *          out a few per cent too large
 */
export function volumeByHue({ chroma }: HueRange): ReadonlyMap<HueWord, number> {
  const volumes = new Map<HueWord, number>(HUE_WORDS.map((word) => [word, 0]));
  for (let slice = 0; slice < SLICES; slice++) {
    const edge = bridged(chroma.subarray(slice * SECTORS, (slice + 1) * SECTORS));
    edge.forEach((own, sector) => {
      const volume = (own * own * SECTOR_RADIANS * THICK) / 2;
      // A sector may belong to two hues.
      for (let degree = 0; degree < SECTOR_DEGREES; degree++) {
        const word = hueWord(sector * SECTOR_DEGREES + degree);
        volumes.set(word, volumes.get(word)! + volume / SECTOR_DEGREES);
      }
    });
  }
  return volumes;
}

/** Size of a whole range, as `volumeByHue` has it. */
export function volumeOf({ chroma }: HueRange): number {
  let sum = 0;
  for (let slice = 0; slice < SLICES; slice++) {
    const edge = bridged(chroma.subarray(slice * SECTORS, (slice + 1) * SECTORS));
    for (const own of edge) sum += own * own;
  }
  return (sum * SECTOR_RADIANS * THICK) / 2;
}
