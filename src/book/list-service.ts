import { MIX_FILTERS, type MixFilter, type MixSort } from '../domain/records/mix-filters.ts';
import type { BookKind } from '../domain/records/record.ts';
import type { BookIndex } from './book-index.ts';
import {
  type FilterMarks,
  type FilterParts,
  filterMarks,
  type MixFilters,
  type Remembered,
} from './mix-filters.ts';
import type { BookPorts } from './ports.ts';
import type { PredictedColours } from './predicted-colours.ts';
import type { RecipeIndex } from './recipe-index.ts';
import { type SavedOrder, savedOrder } from './saved-order.ts';
import { stockOfStore } from './stock-ledger.ts';

export interface MixQuestion extends MixFilters {
  /** `near` wants a colour to be near to. */
  readonly sort: MixSort;
  readonly descending: boolean;
}

export interface LetGo {
  readonly leave: MixFilter;
  readonly total: number;
}

/**
 * The order of records at the time of the request. The order stays the same while the book changes, so that
 * rows do not move while the user reads them; a new request gives the current order.
 */
export interface Sheet {
  readonly name: string;
  /** Numbers of the index. */
  readonly numbers: readonly number[];
  /** How many records there would be without each filter; given only when the list is empty. */
  readonly without?: readonly LetGo[];
  /** Whether mixes, tiles or readings changed since. */
  behind(): boolean;
}

export interface ListService {
  /** A list that was opened before, unless it was closed since. */
  again(name: string): Sheet | undefined;
  mixes(question: MixQuestion): Promise<Sheet>;
  /** Tiles and blocks with a reading, the newest tiles first, then blocks. */
  tiles(): Promise<Sheet>;
  /** Sorts the book and reads its recipes in advance, so that the first list opens without a wait. */
  warm(): Promise<void>;
}

/** Places held for all open lists together, 8 bytes each; the list unused for the longest time is closed. */
const MOST_PLACES = 4_000_000;
const MOST_SHEETS = 400;
const MOST_REMEMBERED = 24;
const SHOWN_KINDS: readonly BookKind[] = ['mix', 'tile', 'reading'];

/** Opens and keeps sheets over the index. */
export function listService(
  ports: BookPorts,
  index: BookIndex,
  recipes: () => Promise<RecipeIndex>,
  predicted: PredictedColours,
): ListService {
  const open = new Map<string, Sheet>();
  /** Tells the sheets of this run of the program from another's. */
  let run: string | undefined;
  let opened = 0;
  let changes = 0;
  const parts: FilterParts = {
    index,
    recipes,
    stock: gramsAtHand,
    remembered: memoryFor(index),
  };
  const { table } = index;
  const byText = (keyAt: (number: number) => string) => (one: number, other: number) => {
    const first = keyAt(one);
    const second = keyAt(other);
    if (first !== second) return first < second ? -1 : 1;
    return table.idAt(one) < table.idAt(other) ? -1 : 1;
  };
  const ordered = (compare: (one: number, other: number) => number): SavedOrder =>
    savedOrder({
      size: () => table.size,
      belongs: (number) => table.isLive(number, 'mix'),
      compare,
    });
  const orders: Readonly<Record<Exclude<MixSort, 'near'>, SavedOrder>> = {
    changed: ordered(
      (one, other) => table.changedSeqAt(one) - table.changedSeqAt(other) || one - other,
    ),
    created: ordered((one, other) => one - other),
    code: ordered(byText(table.sortCodeAt)),
    name: ordered(byText(table.sortNameAt)),
  };
  index.follow((numbers, rows) => {
    for (const order of Object.values(orders)) order.touch(numbers);
    const shown = rows.some(({ after }) => SHOWN_KINDS.includes(after.kind));
    if (shown || numbers.length > rows.length) changes++;
  });

  return {
    again(name) {
      const sheet = open.get(name);
      if (sheet === undefined) return undefined;
      open.delete(name);
      open.set(name, sheet);
      return sheet;
    },
    async mixes({ sort, descending, ...filters }) {
      await index.current();
      await predicted.settled();
      const found = await filterMarks(parts, filters);
      const order = orders[sort === 'near' ? 'changed' : sort].all();
      const all = sort === 'near' && found.nearness !== undefined ? found.nearness : order;
      const numbers = picked(descending ? [...all].reverse() : all, found, index);
      if (numbers.length > 0 || found.all === 0) return keep(numbers);
      return keep(numbers, letGo(order, found));
    },
    async tiles() {
      await index.current();
      return keep(parts.remembered('tiles', readTiles));
    },
    async warm() {
      await index.ready;
      for (const order of Object.values(orders)) {
        order.all();
        await new Promise((resolve) => setImmediate(resolve));
      }
      await recipes();
      await predicted.settled();
    },
  };

  function keep(numbers: readonly number[], without?: readonly LetGo[]): Sheet {
    const at = changes;
    run ??= ports.newId();
    const name = `${run}-${++opened}`;
    const sheet: Sheet = {
      name,
      numbers,
      ...(without === undefined ? {} : { without }),
      behind: () => changes !== at,
    };
    open.set(name, sheet);
    let places = 0;
    for (const { numbers } of open.values()) places += numbers.length;
    for (const [oldest, { numbers }] of open) {
      if (oldest === name || (places <= MOST_PLACES && open.size <= MOST_SHEETS)) break;
      open.delete(oldest);
      places -= numbers.length;
    }
    return sheet;
  }

  function readTiles(): readonly number[] {
    const tiles: number[] = [];
    const blocks: number[] = [];
    for (let number = table.size - 1; number >= 0; number--) {
      const tile = table.isLive(number, 'tile');
      if (!tile && !table.isLive(number, 'block')) continue;
      // A tile is a tile before anybody read it; a block is listed only where it was read itself.
      const read = () => table.namersOf(number, 'of').some((one) => table.isLive(one, 'reading'));
      if (tile) tiles.push(number);
      else if (read()) blocks.push(number);
    }
    return [...tiles, ...blocks];
  }

  async function gramsAtHand(): Promise<ReadonlyMap<string, number>> {
    const stock = await stockOfStore(ports.store);
    return new Map(
      stock.flatMap(({ of, grams }) => (grams === undefined ? [] : [[of.id, grams] as const])),
    );
  }
}

/** What the last filters found, as long as the book stays as it is. */
function memoryFor(index: BookIndex): Remembered {
  const known = new Map<string, readonly number[]>();
  let at = index.changes;
  function remembered(question: string): readonly number[] | undefined;
  function remembered(question: string, find: () => Iterable<number>): readonly number[];
  function remembered(question: string, find?: () => Iterable<number>) {
    if (at !== index.changes) known.clear();
    at = index.changes;
    const found = known.get(question);
    if (found !== undefined || find === undefined) return found;
    const fresh = [...find()];
    const [oldest] = known.keys();
    if (oldest !== undefined && known.size >= MOST_REMEMBERED) known.delete(oldest);
    known.set(question, fresh);
    return fresh;
  }
  return remembered;
}

/** Those for which every filter holds, in the order given; codes and names that begin so come first. */
function picked(
  order: readonly number[],
  { marks, all, begins }: FilterMarks,
  index: BookIndex,
): readonly number[] {
  if (all === 0) return order;
  // What is newer than the marks comes with the next sheet.
  const fits = (number: number) =>
    (marks[number] & all) === all && index.table.isLive(number, 'mix');
  const found = order.filter(fits);
  if (begins === undefined) return found;
  return [...found.filter(begins), ...found.filter((number) => !begins(number))];
}

function letGo(order: readonly number[], { marks, all, bitOf }: FilterMarks): readonly LetGo[] {
  return MIX_FILTERS.flatMap((leave) => {
    const bit = bitOf.get(leave);
    if (bit === undefined) return [];
    let total = 0;
    for (const number of order) if (((marks[number] | bit) & all) === all) total++;
    return [{ leave, total }];
  });
}
