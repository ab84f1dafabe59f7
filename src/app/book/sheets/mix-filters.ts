import { MIX_FILTERS, type MixFilter } from '../../../contract/book/mix-filters.ts';
import {
  type ColourFamily,
  colourNameAtEnd,
  familyOfName,
} from '../../../core/colour/colour-family.ts';
import { colourName } from '../../../core/colour/colour-name.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import { shortOf } from '../../../core/recipe/makable.ts';
import { BEGINS, type BookIndex, sampleOf } from '../book-index.ts';
import { foldedText } from '../facts.ts';
import type { ShelfRow } from '../ports.ts';
import type { RecipeShelf } from './recipe-shelf.ts';

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
  /** Id of a container in which it lies, or a tile of it, or that stands in this one. */
  readonly container?: string;
  /** A batch of so many grams can be made of what is at hand. */
  readonly stockG?: number;
  readonly tile?: 'with' | 'without';
}

export interface FilterParts {
  readonly index: BookIndex;
  /** Asked only where stock counts. */
  readonly recipes: () => Promise<RecipeShelf>;
  /** Grams at hand by id. */
  readonly stock: () => Promise<ReadonlyMap<string, number>>;
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
  const { index } = parts;
  const asked = MIX_FILTERS.filter((name) => ask[name] !== undefined);
  const bitOf = new Map(asked.map((name, i) => [name, 1 << i]));
  const all = (1 << asked.length) - 1;
  // What has to be fetched comes first: the rest is of one moment.
  const recipes = ask.stockG === undefined ? undefined : await parts.recipes();
  const stock = ask.stockG === undefined ? undefined : await parts.stock();
  const makable =
    recipes === undefined ? undefined : await makableFrom(index, recipes, stock!, ask.stockG!);
  const marks = new Uint16Array(index.size);
  const mark = (name: MixFilter, numbers: Iterable<number>) => {
    const bit = bitOf.get(name)!;
    for (const number of numbers) marks[number] |= bit;
  };
  let begins: FilterMarks['begins'];
  let nearness: readonly number[] | undefined;
  if (ask.text !== undefined) {
    const words = index.markWords(ask.text);
    const bit = bitOf.get('text')!;
    for (let i = 0; i < marks.length; i++) {
      if ((words.marks[i] & words.all) === words.all) marks[i] |= bit;
    }
    begins = (number) => (words.marks[number] & BEGINS) !== 0;
  }
  if (ask.tag !== undefined) {
    const bit = bitOf.get('tag')!;
    index.tagged(foldedText(ask.tag), (number) => {
      marks[number] |= bit;
    });
  }
  if (ask.line !== undefined) {
    const blocks = [...index.namersOf(ask.line)].filter(({ kind }) => kind === 'block');
    mark(
      'line',
      mixesWith(
        index,
        blocks.map(({ id }) => id),
      ),
    );
  }
  if (ask.block !== undefined) mark('block', mixesWith(index, [ask.block]));
  if (ask.colour !== undefined) mark('colour', ofFamily(index, ask.colour));
  if (ask.near !== undefined) {
    const { lab, within } = ask.near;
    const found = index.nearest({ lab, within, kinds: ['mix'], top: index.size + 1 });
    nearness = found.flatMap(({ id }) => index.numberOf(id) ?? []);
    mark('near', nearness);
  }
  if (ask.container !== undefined) mark('container', lyingIn(index, ask.container));
  if (makable !== undefined) mark('stockG', makable);
  if (ask.tile !== undefined) mark('tile', byTile(index, ask.tile === 'with'));
  return {
    marks,
    all,
    bitOf,
    ...(begins === undefined ? {} : { begins }),
    ...(nearness === undefined ? {} : { nearness }),
  };
}

/** Mixes in which any of these is, through other mixes too. */
function* mixesWith(index: BookIndex, ids: readonly string[]): Iterable<number> {
  const seen = new Set<string>();
  const next = [...ids];
  for (let id = next.pop(); id !== undefined; id = next.pop()) {
    for (const row of index.namersOf(id)) {
      if (row.kind !== 'mix' || !row.live || seen.has(row.id)) continue;
      seen.add(row.id);
      next.push(row.id);
      yield index.numberOf(row.id)!;
    }
  }
}

/** Mixes whose baked reading is of a family; a raw or foretold colour counts where there is none. */
function* ofFamily(index: BookIndex, family: ColourFamily): Iterable<number> {
  // The family is a word of the name, so that only records with the word need to be looked at.
  const { marks } = index.markWords(family);
  const looked = new Set<string>();
  for (let number = 0; number < marks.length; number++) {
    if ((marks[number] & 1) === 0 || !index.isLive(number, 'mix')) continue;
    const row = index.rowAt(number)!;
    if (looked.has(row.id)) continue;
    looked.add(row.id);
    const readings = readingsOf(index, row.id).filter(({ lab }) => lab !== undefined);
    const baked = readings.filter(({ status }) => status?.startsWith('baked'));
    const told = baked.length > 0 ? baked : readings.length > 0 ? readings : [row];
    if (told.some((one) => familyOf(one) === family)) yield number;
  }
}

function familyOf(row: ShelfRow): ColourFamily | undefined {
  if (row.lab === undefined) return undefined;
  // The name was found when the record was kept, and stands last among its words.
  return familyOfName(colourNameAtEnd(row.words) ?? colourName(row.lab).name);
}

/** Readings of a block or mix, by itself and of its tiles. */
export function readingsOf(index: BookIndex, id: string): readonly ShelfRow[] {
  const found: ShelfRow[] = [];
  for (const row of index.namersOf(id)) {
    if (!row.live || !sampleOf(row).includes(id)) continue;
    if (row.kind === 'reading') found.push(row);
    else for (const under of index.namersOf(row.id)) if (isReading(under)) found.push(under);
  }
  return found;
}

function isReading({ kind, live }: ShelfRow): boolean {
  return kind === 'reading' && live;
}

/** Mixes in a container: held by it, or with a tile in it, or in one that stands inside. */
function* lyingIn(index: BookIndex, container: string): Iterable<number> {
  const seen = new Set<string>([container]);
  const next = [container];
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
      else if (row.kind === 'container' && !seen.has(row.id)) {
        const inside = row.links.some(({ role, to }) => role === 'inside' && to === id);
        if (inside) {
          seen.add(row.id);
          next.push(row.id);
        }
      }
    }
  }
}

function* byTile(index: BookIndex, wanted: boolean): Iterable<number> {
  for (let number = 0; number < index.size; number++) {
    if (!index.isLive(number, 'mix')) continue;
    let has = false;
    for (const row of index.namersOf(index.rowAt(number)!.id)) {
      if (row.kind === 'tile' && row.live) {
        has = true;
        break;
      }
    }
    if (has === wanted) yield number;
  }
}

async function makableFrom(
  index: BookIndex,
  recipes: RecipeShelf,
  grams: ReadonlyMap<string, number>,
  batchG: number,
): Promise<readonly number[]> {
  const ask = {
    mixes: recipes.mixes,
    densityGPerCm3: recipes.densityGPerCm3,
    grams: (id: string) => grams.get(id),
  };
  const found: number[] = [];
  let looked = 0;
  for (const id of [...recipes.mixes.keys()]) {
    if (looked++ % AT_ONCE === AT_ONCE - 1) await new Promise((resolve) => setImmediate(resolve));
    const number = index.numberOf(id);
    if (number !== undefined && shortOf(id, batchG, ask).length === 0) found.push(number);
  }
  return found;
}
