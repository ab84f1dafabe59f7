import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { labFromSpectrum, labFromXyz, xyzFromLab } from '../core/colour/spaces.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights, colourWeightsObserved } from '../core/colour/weights.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { nearestBook } from '../core/nearest/nearest.ts';
import { clayKey, type Recipe, sharesOf } from '../core/notation/notation.ts';
import { claySurface } from '../core/optics/surface.ts';
import { type Verdict, verdict } from '../core/verdict/verdict.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { READING_DEFAULTS, type Reading, type ReadingPlace } from '../domain/reading.ts';
import { KIND_WIDTHS } from '../domain/reading-kind.ts';
import type { Ports } from './ports.ts';
import { tilesFromReadings } from './tiles-from-readings.ts';

/** Bounds of what may be asked. */
export const NEAREST_LIMITS = {
  within: [0, 200],
  top: [1, 1000],
} as const satisfies Record<string, readonly [number, number]>;

export interface NearestCall {
  /** Paths of files of readings, at least one. */
  readonly readings: readonly string[];
  /** Under the light and observer of `viewing`. */
  readonly aim: Lab;
  readonly viewing: Viewing;
  readonly top: number;
  /** Only tiles up to this far, dE00; any distance when absent. */
  readonly within?: number;
  readonly basis?: Basis;
}

export interface ClosestTile {
  readonly tile: string;
  readonly of: Recipe;
  /** Mean of its readings, under the viewing asked for. */
  readonly lab: Lab;
  readonly readings: number;
  /** Of the first of its readings. */
  readonly place: ReadingPlace;
  readonly dE00: number;
  readonly plusMinus: number;
  readonly verdict: Verdict;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

export interface NearestAnswer {
  /** Nearest first. */
  readonly tiles: readonly ClosestTile[];
  /** The best there is when none lies within the bound: an answer, no fault. */
  readonly beyond?: ClosestTile;
  /** Tiles compared. */
  readonly compared: number;
  /** Raw tiles, which were not: baking changes the colour. */
  readonly raw: number;
  readonly notes: readonly string[];
}

/**
 * The baked tiles that lie nearest to a colour. Readings of one tile count as their mean; those that
 * hold the gloss and those that do not are brought to what most of them do.
 * Refuses: as reading a file does; a spectrum too short for a colour -> reading-unusable
 * Returns: `beyond` when none is within the bound; no tile at all when none is baked
 * Limits:  a Lab given under another light is told for this one without its spectrum (`labUnder`)
 */
export async function nearest(ports: Ports, call: NearestCall): Promise<NearestAnswer> {
  const { aim, viewing, within, top } = call;
  const fallback = call.basis ?? READING_DEFAULTS.basis;
  const notes = new Set<string>();
  const readings: Reading[] = [];
  for (const path of call.readings) {
    const read = ports.readers.readings(await ports.files.read(path), path, fallback);
    for (const note of read.notes) notes.add(note);
    for (const reading of read.readings) readings.push(reading);
  }
  const baked = readings.filter(({ state }) => state === 'baked');
  const geometry = geometryOfMost(baked);
  const tiles = new Map<string, Tile>();
  let turned = 0;
  for (const reading of baked) {
    const { lab, spread } = seenColour(reading, viewing, fallback, notes);
    const same = reading.geometry === geometry;
    if (!same) turned++;
    enter(tiles, reading, same ? lab : withGloss(lab, viewing, geometry), spread);
  }
  if (turned > 0) {
    notes.add(
      `${turned} of ${baked.length} readings ${geometry === 'included' ? 'leave the gloss out and are told with it' : 'hold the gloss and are told without it'}, as the others are.`,
    );
  }
  const all = [...tiles.values()];
  const labs = all.map(meanLab);
  const book = nearestBook(labs.flat());
  const near = (options: { top: number; within?: number }) =>
    book.nearest(aim, options).map(({ index }) => nearTile(all[index], labs[index], aim, viewing));
  const found = near({ top, ...(within === undefined ? {} : { within }) });
  const [beyond] = found.length === 0 ? near({ top: 1 }) : [];
  return {
    tiles: found,
    ...(beyond === undefined ? {} : { beyond }),
    compared: all.length,
    raw: readings.length - baked.length,
    notes: [...notes],
  };
}

/** Readings of one tile, gathered. */
interface Tile {
  readonly first: Reading;
  /** Sums over readings, each by one over its squared spread. */
  weight: number;
  readonly weighted: [number, number, number];
  readings: number;
  /** Squared error that all readings of its kind share; more readings do not make it smaller. */
  shared: number;
}

function enter(tiles: Map<string, Tile>, reading: Reading, lab: Lab, spread: number): void {
  const mix = sharesOf(reading.of).map(({ key, share }) => [key, Number(share.toPrecision(6))]);
  const key = canonicalJson([clayKey(reading.tile), mix.sort()]);
  const tile: Tile = tiles.get(key) ?? {
    first: reading,
    weight: 0,
    weighted: [0, 0, 0],
    readings: 0,
    shared: 0,
  };
  tiles.set(key, tile);
  const weight = 1 / spread ** 2;
  tile.weight += weight;
  for (let k = 0; k < 3; k++) tile.weighted[k] += weight * lab[k];
  tile.readings++;
  const shared = reading.kind === 'measured' ? 0 : KIND_WIDTHS[reading.kind].shared;
  tile.shared = Math.max(tile.shared, shared ** 2);
}

/** Colour of a reading as learning takes it, under the viewing asked for. */
function seenColour(reading: Reading, viewing: Viewing, basis: Basis, notes: Set<string>) {
  const read = tilesFromReadings([reading], basis);
  for (const note of read.notes) notes.add(note);
  const [{ colour, spread }] = read.tiles;
  const lab =
    colour.kind === 'lab'
      ? labUnder(colour.lab, colour, viewing)
      : labFromSpectrum(
          colour.values,
          colourWeightsObserved(viewing.light, viewing.observer, colour.observed),
        );
  return { lab, spread };
}

function geometryOfMost(readings: readonly Reading[]): Reading['geometry'] {
  const included = readings.filter(({ geometry }) => geometry === 'included').length;
  return included * 2 >= readings.length ? 'included' : 'excluded';
}

/**
 * A colour read without the gloss as it reads with it, or the other way round.
 * Source: [Saunderson1942]: the outer surface adds the same share of white at every wavelength
 */
function withGloss(lab: Lab, { light, observer }: Viewing, geometry: Reading['geometry']): Lab {
  const { white } = colourWeights(light, observer);
  const gloss = claySurface(geometry).outer * (geometry === 'included' ? 1 : -1);
  const [x, y, z] = xyzFromLab(lab, white);
  return labFromXyz([x + gloss * white[0], y + gloss * white[1], z + gloss * white[2]], white);
}

function meanLab({ weighted, weight }: Tile): Lab {
  return [weighted[0] / weight, weighted[1] / weight, weighted[2] / weight];
}

function nearTile(tile: Tile, lab: Lab, aim: Lab, viewing: Viewing): ClosestTile {
  const variance = 1 / tile.weight + tile.shared;
  const judged = verdict(aim, lab, [variance, 0, 0, 0, variance, 0, 0, 0, variance]);
  return {
    tile: tile.first.tile,
    of: tile.first.of,
    lab,
    readings: tile.readings,
    place: tile.first.place,
    dE00: judged.dE00,
    plusMinus: judged.plusMinus,
    verdict: judged,
    shown: labUnder(lab, viewing, { light: 'D50', observer: 2 }),
  };
}
