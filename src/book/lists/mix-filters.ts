import type { ColourFamily } from '../../core/colour/colour-families.ts';
import { colourNameAtEnd, familyOfName } from '../../core/colour/colour-family.ts';
import { colourName } from '../../core/colour/colour-name.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { shortOf } from '../../core/mixes/makable.ts';
import { foldedText } from '../../domain/index-fields.ts';
import { MIX_FILTERS, type MixFilter } from '../../domain/records/mix-filters.ts';
import { BEGINS, type BookIndex, sampleOf } from '../book-index.ts';
import type { ColourIndexRow } from '../ports.ts';
import type { RecipeIndex } from './recipe-index.ts';

/** What a mix must be, each part of it a filter of its own. */
export interface MixFilters {
  /** Words of its code, name, tags, note, line or colour. */
  readonly text?: string;
  readonly tag?: string;
  /** Id of a line of which a clay is in it, by itself or through another mix. */
  readonly line?: string;
  /** Id of a block that is in it, by itself or through another mix. */
  readonly block?: string;
  readonly colour?: ColourFamily;
  readonly near?: { readonly lab: Lab; readonly within: number };
  /** Id of a box in which it lies, or a tile of it, or that stands in this one. */
  readonly box?: string;
  /** A batch of so many grams can be made of what is at hand. */
  readonly stockG?: number;
  readonly tile?: 'with' | 'without';
}

export interface Remembered {
  (question: string): readonly number[] | undefined;
  (question: string, find: () => Iterable<number>): readonly number[];
}

export interface FilterParts {
  readonly index: BookIndex;
  /** Asked only where stock counts. */
  readonly recipes: () => Promise<RecipeIndex>;
  /** Grams at hand by id. */
  readonly stock: () => Promise<ReadonlyMap<string, number>>;
  /** What was found for the same question to the same book, or found now. */
  readonly remembered: Remembered;
}

/** Mixes looked at before others get a turn, where each takes some arithmetic. */
const AT_ONCE = 4000;

export interface FilterMarks {
  /** By number, a bit for every filter that is asked and holds. */
  readonly marks: Uint16Array;
  /** The bits of a mix for which all of them hold. */
  readonly all: number;
  readonly bitOf: ReadonlyMap<MixFilter, number>;
  /** Numbers whose code or name begins with the words, where words were asked. */
  readonly begins?: (number: number) => boolean;
  /** Numbers in order of nearness, where a colour was asked. */
  readonly nearness?: readonly number[];
}

/** Which filters hold for which mixes; others' turns come between where it takes long. */
export async function filterMarks(parts: FilterParts, ask: MixFilters): Promise<FilterMarks> {
  const { index, remembered } = parts;
  const asked = MIX_FILTERS.filter((name) => ask[name] !== undefined);
  const bitOf = new Map(asked.map((name, i) => [name, 1 << i]));
  const all = (1 << asked.length) - 1;
  // What takes several turns comes first: the rest is of one moment.
  const makable = ask.stockG === undefined ? undefined : await makableOf(parts, ask.stockG);
  const marks = new Uint16Array(index.size);
  const mark = (name: MixFilter, find: () => Iterable<number>): readonly number[] => {
    const bit = bitOf.get(name)!;
    const found = remembered(keyOf(name, ask), find);
    for (const number of found) marks[number] |= bit;
    return found;
  };
  const { text, tag, line, block, colour, near, box, tile } = ask;
  let begins: FilterMarks['begins'];
  if (text !== undefined) {
    const words = index.markWords(text);
    const bit = bitOf.get('text')!;
    for (let i = 0; i < marks.length; i++) {
      if ((words.marks[i] & words.all) === words.all) marks[i] |= bit;
    }
    begins = (number) => (words.marks[number] & BEGINS) !== 0;
  }
  if (tag !== undefined) mark('tag', () => index.tagged(foldedText(tag)));
  if (line !== undefined) mark('line', () => mixesWith(index, blocksOf(index, line)));
  if (block !== undefined) mark('block', () => mixesWith(index, [block]));
  if (colour !== undefined) mark('colour', () => ofFamily(index, colour));
  const nearness = near === undefined ? undefined : mark('near', () => nearTo(index, near));
  if (box !== undefined) mark('box', () => lyingIn(index, box));
  if (makable !== undefined) mark('stockG', () => makable);
  if (tile !== undefined) mark('tile', () => byTile(index, tile === 'with'));
  return {
    marks,
    all,
    bitOf,
    ...(begins === undefined ? {} : { begins }),
    ...(nearness === undefined ? {} : { nearness }),
  };
}

function keyOf(name: MixFilter, ask: MixFilters): string {
  return `${name} ${JSON.stringify(ask[name])}`;
}

function blocksOf(index: BookIndex, line: string): readonly string[] {
  return [...index.namersOf(line)].flatMap(({ kind, id }) => (kind === 'block' ? [id] : []));
}

/** Mixes in which any of these is, through other mixes too. */
function mixesWith(index: BookIndex, ids: readonly string[]): readonly number[] {
  const seen = new Uint8Array(index.size);
  const found: number[] = [];
  const next = [...ids];
  for (let id = next.pop(); id !== undefined; id = next.pop()) {
    for (const number of index.namerNumbersOf(id)) {
      if (seen[number] === 1 || !index.isLive(number, 'mix')) continue;
      seen[number] = 1;
      found.push(number);
      next.push(index.rowAt(number)!.id);
    }
  }
  return found;
}

/** Mixes whose baked reading is of a family; a raw or predicted colour counts where there is none. */
function ofFamily(index: BookIndex, family: ColourFamily): readonly number[] {
  // The family is a word of the name, so that only records with the word need to be looked at.
  const { marks } = index.markWords(family);
  const found: number[] = [];
  for (let number = 0; number < marks.length; number++) {
    if ((marks[number] & 1) === 0 || !index.isLive(number, 'mix')) continue;
    const row = index.rowAt(number)!;
    const readings = readingsOf(index, row.id).filter(({ lab }) => lab !== undefined);
    const baked = readings.filter(({ status }) => status?.startsWith('baked'));
    const told = baked.length > 0 ? baked : readings.length > 0 ? readings : [row];
    if (told.some((one) => familyOf(one) === family)) found.push(number);
  }
  return found;
}

function familyOf(row: ColourIndexRow): ColourFamily | undefined {
  if (row.lab === undefined) return undefined;
  // The name was found when the record was kept, and stands last among its words.
  return familyOfName(colourNameAtEnd(row.words) ?? colourName(row.lab).name);
}

function nearTo(
  index: BookIndex,
  { lab, within }: NonNullable<MixFilters['near']>,
): readonly number[] {
  const found = index.nearest({ lab, within, kinds: ['mix'], top: index.size + 1 });
  return found.flatMap(({ id }) => index.numberOf(id) ?? []);
}

/** Readings of a block or mix, by itself and of its tiles. */
export function readingsOf(index: BookIndex, id: string): readonly ColourIndexRow[] {
  const found: ColourIndexRow[] = [];
  for (const row of index.namersOf(id)) {
    if (!row.live || !sampleOf(row).includes(id)) continue;
    if (row.kind === 'reading') found.push(row);
    else for (const under of index.namersOf(row.id)) if (isReading(under)) found.push(under);
  }
  return found;
}

function isReading({ kind, live }: ColourIndexRow): boolean {
  return kind === 'reading' && live;
}

/** Mixes in a box: held by it, or with a tile in it, or in one that stands inside. */
function* lyingIn(index: BookIndex, box: string): Iterable<number> {
  const seen = new Set<string>([box]);
  const next = [box];
  const mixOf = (id: string): number[] => {
    const number = index.numberOf(id);
    const row = number === undefined ? undefined : index.rowAt(number);
    if (row?.kind === 'mix') return [number!];
    return row?.kind === 'tile' && row.live ? sampleOf(row).flatMap(mixOf) : [];
  };
  for (let id = next.pop(); id !== undefined; id = next.pop()) {
    const own = index.rowAt(index.numberOf(id) ?? -1);
    for (const { role, to } of own?.links ?? []) if (role === 'holds') yield* mixOf(to);
    for (const row of index.namersOf(id)) {
      if (!row.live) continue;
      if (row.kind === 'tile') yield* mixOf(row.id);
      else if (row.kind === 'box' && !seen.has(row.id)) {
        const inside = row.links.some(({ role, to }) => role === 'inside' && to === id);
        if (inside) {
          seen.add(row.id);
          next.push(row.id);
        }
      }
    }
  }
}

function byTile(index: BookIndex, wanted: boolean): readonly number[] {
  const found: number[] = [];
  const hasTile = (id: string) => {
    for (const number of index.namerNumbersOf(id)) if (index.isLive(number, 'tile')) return true;
    return false;
  };
  for (let number = 0; number < index.size; number++) {
    if (index.isLive(number, 'mix') && hasTile(index.rowAt(number)!.id) === wanted) {
      found.push(number);
    }
  }
  return found;
}

/** Mixes of which stock allows a batch. */
async function makableOf(
  { index, recipes, stock, remembered }: FilterParts,
  stockG: number,
): Promise<readonly number[]> {
  const known = remembered(keyOf('stockG', { stockG }));
  if (known !== undefined) return known;
  const shelf = await recipes();
  const grams = await stock();
  const ask = {
    mixes: shelf.mixes,
    densityGPerCm3: shelf.densityGPerCm3,
    grams: (id: string) => grams.get(id),
  };
  const found: number[] = [];
  let looked = 0;
  for (const id of grams.size === 0 ? [] : [...shelf.mixes.keys()]) {
    if (looked++ % AT_ONCE === AT_ONCE - 1) await new Promise((resolve) => setImmediate(resolve));
    const number = index.numberOf(id);
    if (number !== undefined && shortOf(id, stockG, ask, 1).length === 0) found.push(number);
  }
  return found;
}
