import type { TileReading } from '../core/clay/tile-reading.ts';
import { deltaE2000 } from '../core/colour/difference.ts';
import { type GridSpectrum, ontoGrid } from '../core/colour/resample.ts';
import { labFromSpectrum } from '../core/colour/spaces.ts';
import { colourWeightsObserved } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { clayKey, sharesOf } from '../core/notation/notation.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { hashOfReading } from '../domain/hash-of-reading.ts';
import { namesTooAlike } from '../domain/names-too-alike.ts';
import type { Reading } from '../domain/records/reading.ts';
import { isRecord, photosNamedIn, READING_DEFAULTS } from '../domain/records/reading.ts';
import { KIND_WIDTHS } from '../domain/records/reading-kind.ts';

/** A reading that was not learned from. */
export interface LeftAside {
  readonly tile: string;
  readonly file: string;
  readonly line: number;
  readonly why: string;
}

export interface TilesRead {
  readonly tiles: readonly TileReading[];
  /** The readings behind `tiles`, one each. */
  readonly learnedFrom: readonly Reading[];
  readonly basis: Basis;
  readonly leftAside: readonly LeftAside[];
  readonly notes: readonly string[];
}

/**
 * Standard deviation of the error that measured readings of one file share, CIELAB units an axis: the
 * instrument's calibration of that day. Common practice, no source.
 */
const SITTING_SPREAD = 0.4;

/** dE00 from which a Lab and a spectrum of one row are said to disagree. */
const DISAGREE = 2;

/**
 * Readings of all files as the fit takes them: baked tiles only, one basis, one spelling a clay.
 * A colour that is not measured is never fitted as one: its spread is raised to the least of its kind,
 * with a note, and it shares an error with the others of its photo, or else of its kind and file. As
 * that error is one of L, a, b, a spectrum of such a kind is read as its colour.
 * Refuses: parts by volume in one mix and by weight in another -> basis-mixed (bad-input); no baked
 *          tile -> nothing-to-learn (bad-input); a spectrum too short for a colour, where the row
 *          has no Lab -> reading-unusable (bad-input), naming file and line
 */
export function tilesFromReadings(readings: readonly Reading[], fallback: Basis): TilesRead {
  const leftAside: LeftAside[] = [];
  const notes: string[] = [];
  const seen = new Set<string>();
  const baked = readings.filter((reading) => {
    const { tile, place, state } = reading;
    // A name stands for one tile within a file, and within the book.
    const hash = `${photosNamedIn(place)}: ${hashOfReading(reading)}`;
    const why =
      state !== 'baked'
        ? 'raw: baking changes the colour, so only baked tiles are learned from'
        : seen.has(hash)
          ? 'repeated: the same tile with the same numbers counts once'
          : undefined;
    seen.add(hash);
    if (why !== undefined) leftAside.push({ tile, ...place, why });
    return why === undefined;
  });
  if (baked.length === 0) {
    throw new AppError({
      code: 'nothing-to-learn',
      kind: 'bad-input',
      ...(readings.length === 0
        ? {
            detail: 'There is no reading to learn from.',
            hint: 'Give readings of baked tiles; the mix book takes a file of them with "kneadwell import".',
          }
        : {
            detail: `Of ${readings.length} readings none is of a baked tile.`,
            hint: 'Bake the tiles, read them again, and give those readings.',
          }),
    });
  }
  const basis = basisOf(baked) ?? fallback;
  const names = new Map<string, string>();
  const tileNames = namesOfTiles(baked);
  const tiles = baked.map((reading) => tileFrom(reading, names, tileNames(reading), notes));
  notes.push(...raisedNotes(baked), ...alikeNotes(baked));
  return { tiles, learnedFrom: baked, basis, leftAside, notes };
}

/** What the parts of all mixes count; a clay alone counts nothing and fits either. */
function basisOf(readings: readonly Reading[]): Basis | undefined {
  const [first, ...others] = readings.filter(({ of }) => sharesOf(of).length > 1);
  if (first === undefined) return undefined;
  const other = others.find(({ basis }) => basis !== first.basis);
  if (other === undefined) return first.basis;
  const where = ({ place }: Reading) => `${place.file}, line ${place.line}`;
  throw new AppError({
    code: 'basis-mixed',
    kind: 'bad-input',
    detail: `Parts are counted by ${first.basis} in ${where(first)} and by ${other.basis} in ${where(other)}.`,
    hint: 'One model counts one way, as the densities of the clays are not known. Learn the two sets apart.',
  });
}

/** A tile of one name in two files is one tile where it is the same mix, else two. */
function namesOfTiles(readings: readonly Reading[]): (reading: Reading) => string {
  const mixes = new Map<string, Set<string>>();
  const mixOf = ({ of }: Reading) =>
    canonicalJson(
      sharesOf(of)
        .map(({ key, share }) => [key, Number(share.toPrecision(6))])
        .sort(),
    );
  for (const reading of readings) {
    const key = clayKey(reading.tile);
    mixes.set(key, (mixes.get(key) ?? new Set()).add(mixOf(reading)));
  }
  return (reading) =>
    mixes.get(clayKey(reading.tile))!.size === 1
      ? reading.tile
      : `${reading.tile} (${reading.place.file})`;
}

function tileFrom(
  reading: Reading,
  names: Map<string, string>,
  tile: string,
  notes: string[],
): TileReading {
  const parts = sharesOf(reading.of).map(({ key, clay, share }) => {
    const name = names.get(key) ?? clay;
    names.set(key, name);
    return { clay: name, share };
  });
  const { colour, spread } = colourOf(reading, notes);
  const { geometry, partsSpread, thicknessMm, translucent, effect, checked } = reading;
  return {
    tile,
    parts,
    colour,
    spread,
    geometry,
    partsSpread,
    ...(checked === undefined ? {} : { checked }),
    ...(thicknessMm === undefined
      ? {}
      : { film: { thicknessMm, backing: reading.backing ?? READING_DEFAULTS.backing } }),
    ...(translucent === undefined ? {} : { translucent }),
    ...sharedError(reading),
    ...(effect === undefined ? {} : { effect }),
  };
}

/** Photos of two files are two photos, whatever they are called; in a book a name stands for one. */
function sharedError({ kind, photo, place }: Reading): Pick<TileReading, 'photo' | 'photoSpread'> {
  const named = photo === undefined ? undefined : `${photosNamedIn(place)}: ${photo}`;
  if (kind === 'measured') {
    if (named !== undefined) return { photo: named };
    // A book's record is a sitting of its own, where nothing else says that they belong together.
    if (isRecord(place)) return {};
    return { photo: `measured in ${place.file}`, photoSpread: SITTING_SPREAD };
  }
  const source = named ?? place.file;
  // Measured and tapped colours of one photo err apart, as one chart corrects only the first.
  return { photo: `${kind} in ${source}`, photoSpread: KIND_WIDTHS[kind].shared };
}

/** Which rows claimed to know their colour better than their kind can. */
function raisedNotes(readings: readonly Reading[]): string[] {
  const lines = new Map<string, { rows: number[]; text: (rows: string) => string }>();
  for (const { kind, spread, place } of readings) {
    if (kind === 'measured' || spread >= KIND_WIDTHS[kind].least) continue;
    const { least } = KIND_WIDTHS[kind];
    const text = (rows: string) =>
      `${place.file}, ${rows}: a ${kind} colour is not known closer than ${least} an axis, so that is taken for its spread.`;
    const known = lines.get(`${kind} in ${place.file}`) ?? { rows: [], text };
    known.rows.push(place.line);
    lines.set(`${kind} in ${place.file}`, known);
  }
  return [...lines.values()].map(({ rows, text }) =>
    text(`${rows.length === 1 ? 'line' : 'lines'} ${rows.join(', ')}`),
  );
}

/** Names that look like one clay in two spellings. */
function alikeNotes(readings: readonly Reading[]): string[] {
  const uses = new Map<string, { name: string; count: number }>();
  for (const { key, clay } of readings.flatMap(({ of }) => sharesOf(of))) {
    const known = uses.get(key) ?? { name: clay, count: 0 };
    uses.set(key, { ...known, count: known.count + 1 });
  }
  const rare = [...uses.values()].sort((one, other) => one.count - other.count);
  return rare.flatMap(({ name, count }, i) => {
    const twin = rare.slice(i + 1).find((other) => namesTooAlike(name, other.name));
    if (twin === undefined) return [];
    const times = count === 1 ? '1 reading' : `${count} readings`;
    return [
      `Is "${name}" (in ${times}) the same clay as "${twin.name}" (in ${twin.count})? If so, write one name for both, and learn again.`,
    ];
  });
}

function colourOf(
  reading: Reading,
  notes: string[],
): { colour: TileReading['colour']; spread: number } {
  const { lab, kind } = reading;
  const spread =
    kind === 'measured' ? reading.spread : Math.max(reading.spread, KIND_WIDTHS[kind].least);
  const grid = spectrumOf(reading);
  if (grid instanceof AppError) {
    if (lab === undefined) throw grid;
    notes.push(`${grid.detail} Its L, a, b are used instead.`);
  } else if (grid !== undefined) {
    if (lab !== undefined) compare(reading, grid, lab, notes);
    if (kind === 'measured') return { colour: { kind: 'spectrum', ...grid }, spread };
    const weights = colourWeightsObserved('D50', 2, grid.observed);
    const seen = labFromSpectrum(grid.values, weights);
    return { colour: { kind: 'lab', lab: seen, light: 'D50', observer: 2 }, spread };
  }
  if (lab === undefined) throw new TypeError('a reading without a colour passed the schema');
  return {
    colour: { kind: 'lab', lab: lab.values, light: lab.light, observer: lab.observer },
    // A spread given for the spectrum by default is too hopeful for a Lab.
    spread: grid === undefined ? spread : Math.max(spread, READING_DEFAULTS.spreadOfLab),
  };
}

/** The spectrum on the house grid; a fault that names its row where no colour can be seen in it. */
function spectrumOf({ spectrum, place, tile }: Reading): GridSpectrum | AppError | undefined {
  if (spectrum === undefined) return undefined;
  try {
    const grid = ontoGrid(spectrum.wavelengthsNm, spectrum.reflectance);
    colourWeightsObserved('D50', 2, grid.observed);
    return grid;
  } catch (fault) {
    if (!(fault instanceof AppError)) throw fault;
    return new AppError({
      code: 'reading-unusable',
      kind: 'bad-input',
      detail: `${place.file}, line ${place.line}, tile "${tile}": ${fault.detail}`,
      hint: fault.hint,
      cause: fault,
    });
  }
}

function compare(
  { place, tile }: Reading,
  { values, observed }: GridSpectrum,
  lab: NonNullable<Reading['lab']>,
  notes: string[],
): void {
  const seen = labFromSpectrum(values, colourWeightsObserved(lab.light, lab.observer, observed));
  const apart = deltaE2000(seen, lab.values);
  if (apart <= DISAGREE) return;
  notes.push(
    `${place.file}, line ${place.line}, tile "${tile}": its L, a, b and its spectrum are ${apart.toFixed(1)} apart; the spectrum is used.`,
  );
}
