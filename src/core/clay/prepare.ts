import { BANDS } from '../colour/grid.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights, colourWeightsObserved } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { claySurface } from '../optics/surface.ts';
import { checkReading } from './check-reading.ts';
import { type ClayClass, classFromMasstone } from './clay-class.ts';
import { EFFECTS, type Effect } from './effect-offset.ts';
import { onlyFilmsThatShow } from './films-that-show.ts';
import { type PreparedTile, SHARED } from './tile-equations.ts';
import { type LabColour, SAYS_NOTHING, type TileReading } from './tile-reading.ts';

/** A set of readings with names turned into indices, and the blocks of unknowns it needs. */
export interface PreparedSet {
  readonly clays: readonly string[];
  readonly classes: readonly ClayClass[];
  readonly tiles: readonly PreparedTile[];
  /** `group[clay]`: clays with one number are joined by tiles and share one scale. */
  readonly group: readonly number[];
  /** Clay whose scattering is the unit of each group. */
  readonly reference: readonly number[];
  /** Size of each block of unknowns: clays first, then shared, photos, combinations. */
  readonly blockSizes: readonly number[];
  readonly sharedBlock: number;
  /** Block of each photo's shared error and its spread, where the readings state one. */
  readonly photoBlocks: readonly {
    readonly block: number;
    readonly photo: string;
    readonly spread?: number;
  }[];
  /** `effects[clay]`: its effect when it is a special clay, with the block of its departure. */
  readonly effects: readonly (ClayEffect | undefined)[];
  /** Clays of each combination, main one first, by block: `a\nb\nc` -> block. */
  readonly combinations: ReadonlyMap<string, CombinationBlock>;
}

export interface ClayEffect {
  readonly effect: Effect;
  readonly block: number;
}

export interface CombinationBlock {
  readonly block: number;
  /** Clays in the order of the block's unknowns, without the main one. */
  readonly others: readonly number[];
  readonly main: number;
}

/** One key for a set of clays, whatever the order they are named in. */
export function combinationKey(clays: readonly number[]): string {
  return [...clays].sort((a, b) => a - b).join('+');
}

/**
 * Gives clays, photos and combinations their places among the unknowns.
 * Refuses: no reading, and everything `checkReading` refuses -> invalid-input
 * Holds:   the order of the readings decides the order of the clays and nothing else. Types, main
 *          clays, references and the unit of scale depend on the whole set, ties on the names; a
 *          part with share 0 counts as not written
 */
export function prepareTiles(given: readonly TileReading[], latents: number): PreparedSet {
  if (given.length === 0) throw invalidInput('There is no tile to learn from.');
  const index = new Map<string, number>();
  for (const reading of given) checkReading(reading);
  const readings = onlyFilmsThatShow(given).map((reading) => {
    const parts = reading.parts.filter(({ share }) => share > 0);
    for (const { clay } of parts) if (!index.has(clay)) index.set(clay, index.size);
    return { ...reading, parts };
  });
  const clays = [...index.keys()];
  const classes = clays.map((clay) => classOfClay(clay, readings));
  const { group, reference } = scaleGroups(clays, classes, readings, index);

  const blockSizes = clays.map(() => latents);
  const sharedBlock = blockSizes.push(SHARED) - 1;
  const photos = new Map<string, { block: number; photo: string; spread?: number }>();
  for (const { photo, photoSpread } of readings) {
    if (photo === undefined) continue;
    const known = photos.get(photo);
    // Readings of one photo that state different spreads share the wider one.
    const spread = Math.max(photoSpread ?? 0, known?.spread ?? 0);
    const block = known?.block ?? blockSizes.push(3) - 1;
    photos.set(photo, { block, photo, ...(spread > 0 ? { spread } : {}) });
  }
  const effects = clays.map((clay): ClayEffect | undefined => {
    const effect = effectOfClay(clay, readings);
    return effect === undefined ? undefined : { effect, block: blockSizes.push(3) - 1 };
  });
  const mains = mainClays(readings, index);
  const combinations = new Map<string, CombinationBlock>();
  const tiles = readings.map((reading): PreparedTile => {
    const parts = reading.parts.map(({ clay, share }) => ({
      clay: index.get(clay)!,
      share,
    }));
    const key = combinationKey(parts.map((part) => part.clay));
    let combination = combinations.get(key);
    if (combination === undefined && parts.length > 1) {
      const main = mains.get(key)!;
      const others = parts.map((part) => part.clay).filter((clay) => clay !== main);
      combination = {
        block: blockSizes.push(others.length) - 1,
        others: others.sort((a, b) => a - b),
        main,
      };
      combinations.set(key, combination);
    }
    // The unknowns of a combination follow the order of `others`; put the parts in that order.
    const ordered =
      combination === undefined
        ? parts
        : [combination.main, ...combination.others].map(
            (p) => parts.find((part) => part.clay === p)!,
          );
    const { film } = reading;
    const tileEffects = ordered.flatMap(({ clay, share }) => {
      const own = effects[clay];
      return own === undefined ? [] : [{ ...own, share }];
    });
    // A departure is learned in Lab, so a spectrum that includes one is read as its colour.
    const colour = tileEffects.length > 0 ? labColour(reading) : reading.colour;
    return {
      name: reading.tile,
      parts: ordered,
      observable:
        colour.kind === 'lab'
          ? { kind: 'lab', weights: colourWeights(colour.light, colour.observer) }
          : { kind: 'bands', bands: observedBands(colour.observed) },
      observed:
        colour.kind === 'lab'
          ? Float64Array.from(colour.lab)
          : Float64Array.from(observedBands(colour.observed), (band) => colour.values[band]),
      spread: reading.spread,
      surface: claySurface(reading.geometry === 'unstated' ? 0.5 : reading.geometry),
      glossLearned: reading.geometry === 'unstated',
      ...(film === undefined
        ? {}
        : {
            film: {
              thicknessMm: film.thicknessMm,
              backing: backingBands(film.backing),
            },
          }),
      partsSpread: reading.partsSpread,
      photoBlock: reading.photo === undefined ? -1 : photos.get(reading.photo)!.block,
      effects: tileEffects,
      combinationBlock: combination?.block ?? -1,
      mainPart: 0,
    };
  });
  return {
    clays,
    classes,
    tiles,
    group,
    reference,
    blockSizes,
    sharedBlock,
    photoBlocks: [...photos.values()],
    effects,
    combinations,
  };
}

/** The strongest effect that any tile of this clay alone states. */
function effectOfClay(clay: string, readings: readonly TileReading[]): Effect | undefined {
  const stated = readings.flatMap(({ parts, effect }) =>
    effect !== undefined && parts.length === 1 && parts[0].clay === clay ? [effect] : [],
  );
  return EFFECTS.findLast((effect) => stated.includes(effect));
}

function labColour(reading: TileReading): LabColour {
  if (reading.colour.kind === 'lab') return reading.colour;
  return { kind: 'lab', lab: roughLab(reading), light: 'D50', observer: 2 };
}

/** Clay of the largest share over all tiles of each combination. */
function mainClays(
  readings: readonly TileReading[],
  index: ReadonlyMap<string, number>,
): Map<string, number> {
  const totals = new Map<string, Map<string, number>>();
  for (const { parts } of readings) {
    const key = combinationKey(parts.map((part) => index.get(part.clay)!));
    const total = totals.get(key) ?? new Map<string, number>();
    for (const { clay, share } of parts) total.set(clay, (total.get(clay) ?? 0) + share);
    totals.set(key, total);
  }
  return new Map(
    [...totals].map(([key, total]) => {
      const [main] = [...total].reduce((a, b) => (isFirst(b[1], b[0], a[1], a[0]) ? b : a));
      return [key, index.get(main)!];
    }),
  );
}

/**
 * Whether a comes before b: by number, and by name where a different summing order could change the
 * sum.
 */
function isFirst(a: number, nameA: string, b: number, nameB: string): boolean {
  return Math.abs(a - b) > 1e-9 ? a > b : nameA < nameB;
}

function backingBands(backing: number | Float64Array): Float64Array {
  return typeof backing === 'number'
    ? new Float64Array(BANDS).fill(backing)
    : Float64Array.from(backing);
}

function observedBands(observed: Uint8Array): number[] {
  const bands: number[] = [];
  for (let band = 0; band < BANDS; band++) if (observed[band] === 1) bands.push(band);
  return bands;
}

/** Lab D50, 2 degree of a reading; a Lab under another light is used unchanged. */
export function roughLab(reading: TileReading): Lab {
  const { colour } = reading;
  if (colour.kind === 'lab') return colour.lab;
  const { values, observed } = colour;
  // The value of an unmeasured band is meaningless, and 0 times NaN is NaN.
  const measured = values.map((v, band) => (observed[band] === 1 ? v : 0));
  return labFromSpectrum(measured, colourWeightsObserved('D50', 2, observed));
}

/**
 * Type of a clay: by the mean colour of its own opaque tiles; translucent when its own tiles are
 * all films and nobody declared it opaque; without a tile of its own, a concentrate where it is only
 * used in small shares, else opaque.
 */
function classOfClay(clay: string, readings: readonly TileReading[]): ClayClass {
  const own = readings.filter(
    (r) => r.parts.length === 1 && r.parts[0].clay === clay && r.spread < SAYS_NOTHING,
  );
  const opaque = own.filter((reading) => reading.film === undefined);
  if (opaque.length > 0) return classFromMasstone(meanLab(opaque));
  if (own.length === 0) return isConcentrate(clay, readings) ? 'concentrate' : 'opaque';
  const ofFilm = classFromMasstone(meanLab(own));
  if (own.some(({ translucent }) => translucent === false)) return ofFilm;
  return ofFilm === 'white' || ofFilm === 'pastel' ? 'translucent' : ofFilm;
}

function meanLab(readings: readonly TileReading[]): Lab {
  const labs = readings.map(roughLab);
  const mean = (axis: 0 | 1 | 2) => labs.reduce((sum, lab) => sum + lab[axis], 0) / labs.length;
  return [mean(0), mean(1), mean(2)];
}

/** Largest share in which a concentrate is ever used. */
const CONCENTRATE_SHARE = 0.2;

function isConcentrate(clay: string, readings: readonly TileReading[]): boolean {
  return readings.every(({ parts }) =>
    parts.every((part) => part.clay !== clay || part.share <= CONCENTRATE_SHARE),
  );
}

/**
 * Only ratios of scattering can be measured, so every set of clays joined by tiles has a free
 * scale. A reference fixes it: the white with the most tiles; without a white, the clay with the
 * most tiles.
 */
function scaleGroups(
  clays: readonly string[],
  classes: readonly ClayClass[],
  readings: readonly TileReading[],
  index: ReadonlyMap<string, number>,
): { group: number[]; reference: number[] } {
  const root = clays.map((_, i) => i);
  const find = (i: number): number => (root[i] === i ? i : (root[i] = find(root[i])));
  const uses = clays.map(() => 0);
  for (const { parts } of readings) {
    for (const { clay } of parts) {
      uses[index.get(clay)!]++;
      root[find(index.get(clay)!)] = find(index.get(parts[0].clay)!);
    }
  }
  const rank = (i: number) => (classes[i] === 'white' ? 1e9 : 0) + uses[i];
  const before = (a: number, b: number) => isFirst(rank(a), clays[a], rank(b), clays[b]);
  const referenceOf = new Map<number, number>();
  clays.forEach((_, i) => {
    const known = referenceOf.get(find(i));
    if (known === undefined || before(i, known)) referenceOf.set(find(i), i);
  });
  // The first group sets the scale of all: the one whose reference is a white with the most tiles.
  const roots = [...referenceOf].sort(([, a], [, b]) => (before(a, b) ? -1 : 1));
  return {
    group: clays.map((_, i) => roots.findIndex(([at]) => at === find(i))),
    reference: roots.map(([, reference]) => reference),
  };
}
