import type { ColourFamily } from '../core/colour/colour-families.ts';
import { familyOfName } from '../core/colour/colour-family.ts';
import { ISCC_NBS } from '../core/colour/iscc-nbs.data.ts';
import type { Lab } from '../core/colour/triples.ts';
import { shortOf } from '../core/mixes/makable.ts';
import { foldedText } from '../domain/index-fields.ts';
import { MIX_FILTERS, type MixFilter } from '../domain/records/mix-filters.ts';
import type { BookIndex } from './book-index.ts';
import type { RecipeIndex } from './recipe-index.ts';
import { BEGINS, inBox } from './word-search.ts';

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
  const marks = new Uint16Array(index.table.size);
  const mark = (name: MixFilter, find: () => Iterable<number>): readonly number[] => {
    const bit = bitOf.get(name)!;
    const found = remembered(keyOf(name, ask), find);
    for (const number of found) marks[number] |= bit;
    return found;
  };
  const { text, tag, line, block, colour, near, box, tile } = ask;
  let begins: FilterMarks['begins'];
  if (text !== undefined) {
    const words = index.words.mark(text);
    const bit = bitOf.get('text')!;
    for (let i = 0; i < marks.length; i++) {
      if ((words.marks[i] & words.all) === words.all) marks[i] |= bit;
    }
    begins = (number) => (words.marks[number] & BEGINS) !== 0;
  }
  if (tag !== undefined) mark('tag', () => index.words.tagged(foldedText(tag)));
  if (line !== undefined) mark('line', () => mixesWith(index, blocksOf(index, line)));
  if (block !== undefined) {
    const number = index.table.numberOf(block);
    mark('block', () => mixesWith(index, number === undefined ? [] : [number]));
  }
  if (colour !== undefined) mark('colour', () => ofFamily(index, colour));
  const nearness = near === undefined ? undefined : mark('near', () => nearTo(index, near));
  if (box !== undefined) mark('box', () => mixesInBox(index, box));
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

function blocksOf({ table }: BookIndex, line: string): readonly number[] {
  const number = table.numberOf(line);
  return number === undefined ? [] : table.namersOf(number, 'line');
}

/** Mixes in which any of these is, through other mixes too. */
function mixesWith({ table }: BookIndex, clays: readonly number[]): readonly number[] {
  const seen = new Uint8Array(table.size);
  const found: number[] = [];
  const next = [...clays];
  for (let clay = next.pop(); clay !== undefined; clay = next.pop()) {
    for (const number of table.namersOf(clay, 'parts')) {
      if (seen[number] === 1 || !table.isLive(number, 'mix')) continue;
      seen[number] = 1;
      found.push(number);
      next.push(number);
    }
  }
  return found;
}

/** Families by the place of a name in `ISCC_NBS`. */
const FAMILIES: readonly ColourFamily[] = ISCC_NBS.map(([, name]) => familyOfName(name));

/** Mixes whose shown colour is of a family. */
function* ofFamily({ table, shown }: BookIndex, family: ColourFamily): Iterable<number> {
  for (let number = 0; number < table.size; number++) {
    if (table.isLive(number, 'mix') && FAMILIES[shown.nameOf(number)] === family) yield number;
  }
}

function nearTo(
  index: BookIndex,
  { lab, within }: NonNullable<MixFilters['near']>,
): readonly number[] {
  const found = index.nearest({
    lab,
    within,
    kinds: ['mix'],
    top: index.table.size + 1,
    raw: true,
  });
  return found.flatMap(({ id }) => index.table.numberOf(id) ?? []);
}

/** Mixes in a box: held by it, or with a tile in it, or in one inside it. */
function mixesInBox({ table }: BookIndex, box: string): readonly number[] {
  const number = table.numberOf(box);
  if (number === undefined) return [];
  return [...inBox(table, number)].filter((one) => table.isLive(one, 'mix'));
}

function* byTile({ table }: BookIndex, wanted: boolean): Iterable<number> {
  for (let number = 0; number < table.size; number++) {
    if (!table.isLive(number, 'mix')) continue;
    const tiles = table.namersOf(number, 'of').some((one) => table.isLive(one, 'tile'));
    if (tiles === wanted) yield number;
  }
}

/** Mixes of which stock allows a batch. */
async function makableOf(
  { index, recipes, stock, remembered }: FilterParts,
  batchG: number,
): Promise<readonly number[]> {
  const known = remembered(keyOf('stockG', { stockG: batchG }));
  if (known !== undefined) return known;
  const { mixes, densityGPerCm3 } = await recipes();
  const grams = await stock();
  if (grams.size === 0) return [];
  const { table } = index;
  const ask = { mixes, densityGPerCm3, grams: (id: string) => grams.get(id) };
  const found: number[] = [];
  for (let number = 0, looked = 0; number < table.size; number++) {
    if (!table.isLive(number, 'mix')) continue;
    if (looked++ % AT_ONCE === AT_ONCE - 1) await new Promise((resolve) => setImmediate(resolve));
    if (shortOf(table.idAt(number), batchG, ask, 1).length === 0) found.push(number);
  }
  return found;
}
