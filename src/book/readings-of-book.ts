import { type Basis, USUAL_DENSITY } from '../core/mixes/mix-graph.ts';
import { mixResolver, type Resolution } from '../core/mixes/resolve-mix.ts';
import type { Recipe } from '../core/notation/notation.ts';
import { clayNames } from '../domain/clay-names.ts';
import { isOwned } from '../domain/clay-of-block.ts';
import { mixGraphOf, mixNode, partsOfBlocks } from '../domain/mix-graph-of-book.ts';
import { placeOfRecord, READING_DEFAULTS, type Reading } from '../domain/records/reading.ts';
import type { RecordOf } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { BookRow } from './ports.ts';

export interface BookReading {
  readonly recordId: string;
  readonly reading: Reading;
}

export interface ReadingsOfBook {
  readonly readings: readonly BookReading[];
  /** Readings no clay can be learned from, with the reason. */
  readonly leftAside: readonly { readonly recordId: string; readonly why: string }[];
  /** Ids of blocks by the name they have as clays. */
  readonly blocks: ReadonlyMap<string, string>;
  /** What was taken for granted, in sentences. */
  readonly notes: readonly string[];
}

const PAGE = 500;
const NOT_OWNED = 'A clay in it is not yours: it came with a recipe somebody shared.';
const POWDERED = 'Powders are in this tile, and their effect on a colour is not learned.';

/**
 * All live readings as a file of readings would give them: mixes of mixes resolved to blocks, blocks by
 * name. What the user's eye overrides counts as read by eye.
 * Where some tiles count parts by volume and some by weight, all count them by `basis`, through the
 * densities of their clays.
 * Holds:   a reading keeps every field of its record; `place` is the row it came from, else its record
 */
export async function readingsOfBook(
  book: Book,
  basis: Basis = READING_DEFAULTS.basis,
): Promise<ReadingsOfBook> {
  const of = async <K extends 'line' | 'block' | 'mix' | 'tile' | 'reading'>(kind: K) =>
    new Map((await live(book, kind)).map((record) => [record.id, record as RecordOf<K>]));
  const blocks = await of('block');
  const lines = await of('line');
  const mixes = await of('mix');
  const tiles = await of('tile');
  const names = clayNames(blocks.values(), lines);
  const typeOf = new Map([...names].map(([id, name]) => [name, blocks.get(id)?.body.clayType]));
  const graph = mixGraphOf({ blocks: blocks.values(), lines, mixes: mixes.values() });
  const resolver = mixResolver(graph);
  const partsOf = (found: Resolution): Recipe | string => {
    if (found.status !== 'resolved') return found.says;
    if (found.powders.length > 0) return POWDERED;
    return partsOfBlocks(found).map(({ blockId, parts }) => ({ clay: names.get(blockId)!, parts }));
  };
  const read = [...(await of('reading')).values()].map((record) => {
    const tile = tiles.get(record.body.of.id);
    const made = tile?.body.of ?? record.body.of;
    const ownBasis = tile?.body.basis ?? READING_DEFAULTS.basis;
    if ('parts' in made) {
      const mix = mixNode({ basis: ownBasis, parts: made.parts });
      return { record, tile, mix, counted: ownBasis };
    }
    const mix = blocks.has(made.id) ? undefined : made.id;
    return {
      record,
      tile,
      block: made.id,
      mix,
      counted: mixes.get(made.id)?.body.basis ?? ownBasis,
    };
  });
  const learnedFrom = read.filter(({ mix, record }) => mix && record.body.state === 'baked');
  const oneBasis = new Set(learnedFrom.map(({ counted }) => counted)).size < 2;
  const assumed = new Set<string>();
  const readings: BookReading[] = [];
  const leftAside: ReadingsOfBook['leftAside'][number][] = [];
  for (const { record, tile, block, mix, counted } of read) {
    const basisHere = oneBasis ? counted : basis;
    const found = mix === undefined ? undefined : resolver.resolve(mix, basisHere);
    const made = found?.status === 'resolved' ? found.blocks.map(({ id }) => id) : [block!];
    if (made.some((id) => blocks.has(id) && !isOwned(blocks.get(id)!))) {
      leftAside.push({ recordId: record.id, why: NOT_OWNED });
      continue;
    }
    const recipe = found === undefined ? [{ clay: names.get(block!)!, parts: 1 }] : partsOf(found);
    if (typeof recipe === 'string') leftAside.push({ recordId: record.id, why: recipe });
    else {
      if (found?.status === 'resolved' && basisHere !== counted) {
        for (const id of found.assumedDensity) assumed.add(names.get(id)!);
      }
      const reading = readingFrom(record, tile, recipe, basisHere);
      const translucent = recipe.some(({ clay }) => typeOf.get(clay) === 'translucent');
      // Said only beside a thickness, as it means nothing elsewhere.
      const said = reading.thicknessMm === undefined ? reading : { ...reading, translucent };
      readings.push({ recordId: record.id, reading: said });
    }
  }
  const named = new Map([...names].map(([id, name]) => [name, id]));
  const notes = oneBasis ? [] : [convertedNote(basis, [...assumed])];
  return { readings, leftAside, blocks: named, notes };
}

function convertedNote(basis: Basis, assumed: readonly string[]): string {
  const taken =
    assumed.length === 0
      ? ''
      : ` No density is saved for ${assumed.join(', ')}: ${USUAL_DENSITY.value} g per cm3 was taken.`;
  return `Some tiles count parts by volume, some by weight. All are learned by ${basis}, through the densities of their clays.${taken}`;
}

function readingFrom(
  { id, body }: RecordOf<'reading'>,
  tile: RecordOf<'tile'> | undefined,
  of: Recipe,
  basis: Reading['basis'],
): Reading {
  const { readingKind, state, lab, spectrum, spread, geometry, effect, photoId, source, checked } =
    body;
  const { thicknessMm, backing, partsSpread } = tile?.body ?? {};
  const eye = body.override?.lab;
  const photo = photoId ?? source;
  return {
    tile: tile?.body.code ?? tile?.body.name ?? tile?.id ?? id,
    of,
    kind: eye === undefined ? readingKind : 'by eye',
    basis,
    state,
    ...(eye !== undefined
      ? { lab: { values: eye, light: 'D50', observer: 2 } }
      : {
          ...(lab === undefined ? {} : { lab }),
          ...(spectrum === undefined ? {} : { spectrum }),
        }),
    spread,
    geometry: eye === undefined ? geometry : READING_DEFAULTS.geometryOfEye,
    ...(thicknessMm === undefined ? {} : { thicknessMm }),
    ...(backing === undefined ? {} : { backing }),
    ...(photo === undefined ? {} : { photo }),
    // Said of a mix it would not fit a reading; the schema of readings has it so.
    ...(effect === undefined || of.length > 1 ? {} : { effect }),
    partsSpread:
      partsSpread ??
      (of.length > 1 ? READING_DEFAULTS.partsSpreadOfMix : READING_DEFAULTS.partsSpreadOfClay),
    ...(checked === undefined ? {} : { checked }),
    place: body.place ?? placeOfRecord(id),
  };
}

async function live(book: Book, kind: BookRow['record']['kind']) {
  const records: BookRow['record'][] = [];
  for (let after: string | undefined = ''; after !== undefined; ) {
    const rows: readonly BookRow[] = await book.ports.store.rows(after, PAGE, kind);
    for (const { record } of rows) if (record.deletedAt === undefined) records.push(record);
    after = rows.length < PAGE ? undefined : rows.at(-1)?.record.id;
  }
  return records;
}
