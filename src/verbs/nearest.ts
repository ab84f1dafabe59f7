import { z } from 'zod';
import { labUnder, type Viewing } from '../core/colour/adaptation.ts';
import { labFromSpectrum, labFromXyz, xyzFromLab } from '../core/colour/spaces.ts';
import type { Lab } from '../core/colour/triples.ts';
import { colourWeights, colourWeightsObserved } from '../core/colour/weights.ts';
import { once, type WorkSteps } from '../core/find/work-steps.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { nearestBook } from '../core/nearest/nearest.ts';
import { clayKey, sharesOf } from '../core/notation/notation.ts';
import { claySurface } from '../core/optics/surface.ts';
import { verdict } from '../core/verdict/verdict.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { range } from '../domain/records/pieces.ts';
import type { Reading } from '../domain/records/reading.ts';
import { KIND_WIDTHS } from '../domain/records/reading-kind.ts';
import { readAim } from './aim.ts';
import { aimAnswer, labAnswer, recipeAnswer, verdictAnswer } from './answer-parts.ts';
import type { ReadingsSource } from './learn.ts';
import { aimSchema, basisOfRows, viewing } from './question-parts.ts';
import { tilesFromReadings } from './tiles-from-readings.ts';
import { verb, words } from './verb.ts';

export const nearestQuestion = z.strictObject({
  aim: aimSchema.meta(
    words({
      operand: 'AIM',
      example: '60,-20,20',
      help: 'written as the aim of find: 60,-20,20, "#8a9b6c" or "5GY 6/4"',
    }),
  ),
  top: z
    .int()
    .min(1)
    .max(1000)
    .default(10)
    .meta(words({ option: 'top', value: 'N', help: 'tiles to list' })),
  within: range(0, 200)
    .exactOptional()
    .meta(
      words({
        option: 'within',
        value: 'DE00',
        help: 'list only tiles up to this far; when there is none, the closest is named all the same',
      }),
    ),
  basis: basisOfRows,
  viewing,
});
export type NearestQuestion = z.output<typeof nearestQuestion>;

/** Readings to look among. */
export type NearestSubject = Pick<ReadingsSource, 'readings' | 'notes'>;

const closestTile = z.object({
  tile: z.string(),
  of: recipeAnswer,
  /** Mean of its readings, under the viewing asked for. */
  lab: labAnswer,
  readings: z.int(),
  /** Of the first of its readings. */
  place: z.object({ file: z.string(), line: z.int() }).readonly(),
  dE00: z.number(),
  plusMinus: z.number(),
  verdict: verdictAnswer,
  /** D50 and 2 degrees, for showing it. */
  shown: labAnswer,
});
export type ClosestTile = z.output<typeof closestTile>;

const nearestAnswer = z.object({
  aim: aimAnswer,
  /** Closest first. */
  tiles: z.array(closestTile),
  /** The best there is when none is within the bound: an answer, no fault. */
  beyond: closestTile.exactOptional(),
  /** Tiles compared. */
  compared: z.int(),
  /** Raw tiles, which were not: baking changes the colour. */
  raw: z.int(),
  notes: z.array(z.string()),
});
export type NearestAnswer = z.output<typeof nearestAnswer>;

/**
 * The baked tiles that come closest to a colour. Readings of one tile count as their mean; those that
 * hold the gloss and those that do not are brought to what most of them do.
 * Refuses: a spectrum too short for a colour -> reading-unusable
 * Returns: `beyond` when none is within the bound; no tile at all when none is baked
 * Limits:  a Lab given under another light is converted to this one without its spectrum (`labUnder`)
 */
export const nearest = verb({
  name: 'nearest',
  asks: 'Which of my tiles is closest to this colour?',
  question: nearestQuestion,
  answer: nearestAnswer,
  *run(subject: NearestSubject, question: NearestQuestion): WorkSteps<NearestAnswer> {
    return yield* once('comparing tiles', () => closestTiles(subject, question));
  },
});

function closestTiles(subject: NearestSubject, question: NearestQuestion): NearestAnswer {
  const { viewing, within, top, basis } = question;
  const aim = readAim(question.aim, viewing);
  const notes = new Set<string>(subject.notes);
  const { readings } = subject;
  const baked = readings.filter(({ state }) => state === 'baked');
  const geometry = geometryOfMost(baked);
  const tiles = new Map<string, Tile>();
  let turned = 0;
  for (const reading of baked) {
    // A reading that does not state its gloss is taken to be like the others.
    const same = reading.geometry === 'unstated' || reading.geometry === geometry;
    if (!same) turned++;
    for (const { lab, spread } of seenColours(reading, viewing, basis, notes)) {
      enter(tiles, reading, same ? lab : withGloss(lab, viewing, geometry), spread);
    }
  }
  if (turned > 0) {
    notes.add(
      `${turned} of ${baked.length} readings ${geometry === 'included' ? 'leave the gloss out and are given with it' : 'hold the gloss and are given without it'}, as the others are.`,
    );
  }
  const all = [...tiles.values()].map((tile) => ({ tile, lab: meanLab(tile) }));
  const book = nearestBook(all.flatMap(({ lab }) => lab));
  const near = (options: { top: number; within?: number }) =>
    book
      .nearest(aim.lab, options)
      .flatMap(({ index }) => all.slice(index, index + 1))
      .map(({ tile, lab }) => nearTile(tile, lab, aim.lab, viewing));
  const found = near({ top, ...(within === undefined ? {} : { within }) });
  const [beyond] = found.length === 0 ? near({ top: 1 }) : [];
  return {
    aim,
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
  weighted: Lab;
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
  const [l, a, b] = tile.weighted;
  tile.weighted = [l + weight * lab[0], a + weight * lab[1], b + weight * lab[2]];
  tile.readings++;
  const shared = reading.kind === 'measured' ? 0 : KIND_WIDTHS[reading.kind].shared;
  tile.shared = Math.max(tile.shared, shared ** 2);
}

/** Colour of a baked reading as learning takes it, under the viewing asked for. */
function seenColours(reading: Reading, viewing: Viewing, basis: Basis, notes: Set<string>) {
  const read = tilesFromReadings([reading], basis);
  for (const note of read.notes) notes.add(note);
  return read.tiles.map(({ colour, spread }) => ({
    lab:
      colour.kind === 'lab'
        ? labUnder(colour.lab, colour, viewing)
        : labFromSpectrum(
            colour.values,
            colourWeightsObserved(viewing.light, viewing.observer, colour.observed),
          ),
    spread,
  }));
}

type StatedGeometry = Exclude<Reading['geometry'], 'unstated'>;

function geometryOfMost(readings: readonly Reading[]): StatedGeometry {
  const stated = readings.filter(({ geometry }) => geometry !== 'unstated');
  const included = stated.filter(({ geometry }) => geometry === 'included').length;
  return included * 2 >= stated.length ? 'included' : 'excluded';
}

/**
 * A colour read without the gloss as it reads with it, or the other way round.
 * Source: [Saunderson1942]: the outer surface adds the same share of white at every wavelength
 */
function withGloss(lab: Lab, { light, observer }: Viewing, geometry: StatedGeometry): Lab {
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
