import { cutColourName } from '../core/colour/colour-family.ts';
import { indexFieldsOf } from '../domain/index-fields.ts';
import {
  type ColourFound,
  type ColourIndex,
  type ColourQuery,
  colourIndex,
} from './colour-index.ts';
import {
  type BookReads,
  COLOUR_ROLES,
  type ColourIndexRow,
  type IndexPlace,
  type RowWrite,
} from './ports.ts';
import { type RecordTable, recordTable } from './record-table.ts';
import { type ShownColours, shownColours } from './shown-colours.ts';
import { NO_TEXT, tagWord, type WordSearch, wordSearch } from './word-search.ts';

/** Called with the numbers that came, changed or went, once they are in. */
export type Follower = (numbers: readonly number[], rows: readonly RowWrite[]) => void;

/** All a book can be searched by, in memory. */
export interface BookIndex {
  readonly table: RecordTable;
  readonly shown: ShownColours;
  readonly words: WordSearch;
  /** Resolves when the book has been read once. */
  readonly ready: Promise<void>;
  readonly isReady: boolean;
  /** Does work that somebody waits for, while the first reading of the book rests. */
  first<T>(work: () => Promise<T>): Promise<T>;
  /** Resolves when the index holds every change that is in the store now, whoever made it. */
  current(): Promise<void>;
  /** A change this program made, which is on the disk as `seq`. */
  take(seq: number, rows: readonly RowWrite[], gone: readonly string[]): void;
  /** Rises with every change, and when colours are predicted. */
  readonly changes: number;
  /** Says that colours shown are others now, without a change of the book. */
  recoloured(): void;
  follow(hear: Follower): void;
  /** The closest colours that are shown, by CIEDE2000. */
  nearest(query: ColourQuery): readonly ColourFound[];
}

/** Rows read in one go, so that others get a turn between. */
const PAGE = 400;
/** Changes of other programs read in one go. */
const GROUPS = 100;

/**
 * The engine's own text search differs from engine to engine and knows nothing of CIEDE2000, so searches
 * run here, over what the store says of every record. See docs/adr/0012-book-store.md.
 * Holds:   the index follows the journal by its numbers: a change of another program on the same store is
 *          in what is answered after it
 */
export function bookIndex(
  reads: Pick<BookReads, 'indexRows' | 'lastSeq' | 'groups' | 'entries'>,
): BookIndex {
  const table = recordTable();
  const shown = shownColours(table);
  const words = wordSearch(table, shown);
  const followers: Follower[] = [];
  let colours: ColourIndex | undefined;
  /** Number of the newest change that is in here; -1 while the book is being read. */
  let newest = -1;
  let changes = 0;
  let isReady = false;
  let catching: Promise<void> | undefined;
  /** Work that goes before reading on, and who reads on after. */
  let urgent = 0;
  const resting: (() => void)[] = [];

  const index: BookIndex = {
    table,
    shown,
    words,
    ready: load(),
    get isReady() {
      return isReady;
    },
    async first(work) {
      urgent++;
      try {
        return await work();
      } finally {
        urgent--;
        if (urgent === 0) for (const readOn of resting.splice(0)) readOn();
      }
    },
    async current() {
      await index.ready;
      while (newest < (await reads.lastSeq())) {
        catching ??= catchUp().finally(() => {
          catching = undefined;
        });
        await catching;
      }
    },
    take(seq, rows, gone) {
      // What is missing before it comes from the journal, and this change with it.
      if (seq === newest + 1) apply(seq, rows, gone);
    },
    get changes() {
      return changes;
    },
    recoloured: () => void changes++,
    follow: (hear) => void followers.push(hear),
    nearest,
  };
  // A book closed while it was being read: whoever still searches hears of it, nobody else.
  index.ready.catch(() => {});
  return index;

  async function load(): Promise<void> {
    const from = await reads.lastSeq();
    const [live, deleted] = [stream(true), stream(false)];
    let [one, other] = [await live(), await deleted()];
    while (one !== undefined || other !== undefined) {
      const first = other === undefined || (one !== undefined && isBefore(one, other));
      const row = first ? one! : other!;
      // What was made meanwhile comes from the journal, in its order.
      if (row.createdSeq <= from) put(row);
      if (first) one = await live();
      else other = await deleted();
    }
    newest = from;
    await catchUp();
    isReady = true;
  }

  /** Rows one by one, read by pages; nothing waits between the rows of a page. */
  function stream(live: boolean): () => Promise<ColourIndexRow | undefined> {
    let rows: readonly ColourIndexRow[] = [];
    let at = 0;
    let after: IndexPlace | undefined;
    let more = true;
    return async () => {
      if (at === rows.length && more) {
        rows = await reads.indexRows(live, after, PAGE);
        at = 0;
        more = rows.length === PAGE;
        after = rows[rows.length - 1];
        // The engine answers at once; a breath lets others be answered between.
        await new Promise((resolve) => setImmediate(resolve));
        while (urgent > 0) await new Promise<void>((resolve) => resting.push(resolve));
      }
      return rows[at++];
    };
  }

  async function catchUp(): Promise<void> {
    for (;;) {
      const groups = await reads.groups({ after: newest }, GROUPS);
      if (groups.length === 0) return;
      for (const { seq } of groups) {
        const entries = await reads.entries(seq);
        // This program may have said the same meanwhile.
        if (seq !== newest + 1) continue;
        const rows = entries.flatMap(({ before, after }) =>
          after === undefined ? [] : [{ before, after, facts: indexFieldsOf(after) }],
        );
        // The journal keeps nothing of what was deleted for good, in no change.
        const gone = entries.flatMap(({ id, after }) => (after === undefined ? [id] : []));
        apply(seq, rows, gone);
      }
    }
  }

  function apply(seq: number, rows: readonly RowWrite[], gone: readonly string[]): void {
    newest = seq;
    changes++;
    const sorted = rows.toSorted((one, other) => (one.after.id < other.after.id ? -1 : 1));
    const numbers = [
      ...sorted.map((row) => put(indexRow(row, seq))),
      ...gone.flatMap((id) => remove(id) ?? []),
    ];
    for (const hear of followers) hear(numbers, rows);
  }

  function put(row: ColourIndexRow): number {
    const { id, sortCode, sortName } = row;
    const old = table.numberOf(id);
    const before = old === undefined ? NO_TEXT : textAt(old);
    if (old !== undefined) shown.touch(old);
    const { text, place } =
      row.lab === undefined ? { text: row.words, place: 0 } : cutColourName(row.words, row.lab);
    const own = [text.trim(), ...row.tags.map(tagWord)].join(' ').trim();
    const number = table.set(row, { text: own, colourName: place });
    words.change(number, before, { text: own, sortCode, sortName });
    shown.touch(number);
    return number;
  }

  function remove(id: string): number | undefined {
    const number = table.numberOf(id);
    if (number === undefined) return undefined;
    shown.touch(number);
    words.change(number, textAt(number), NO_TEXT);
    return table.remove(id);
  }

  function textAt(number: number) {
    return {
      text: table.textAt(number),
      sortCode: table.sortCodeAt(number),
      sortName: table.sortNameAt(number),
    };
  }

  function nearest({ lab, kinds, top, within, raw = false }: ColourQuery): readonly ColourFound[] {
    const found = coloursNow().closest(lab, {
      top,
      ...(within === undefined ? {} : { within }),
      allowed(number) {
        const kind = table.kindAt(number)!;
        if (kinds !== undefined && !kinds.includes(kind)) return false;
        return raw || !table.statusAt(shown.sourceOf(number)).startsWith('raw');
      },
    });
    return found.map(({ number, dE00 }) => {
      const source = shown.sourceOf(number);
      const [id, from] = [table.idAt(number), table.idAt(source)];
      return { id, source: from, predicted: source === number, dE00 };
    });
  }

  /** Built when first asked; it then follows what was touched. */
  function coloursNow(): ColourIndex {
    if (colours === undefined) {
      const start = new Map<number, readonly [number, number, number]>();
      for (let number = 0; number < table.size; number++) {
        const lab = labOfOwner(number);
        if (lab !== undefined) start.set(number, lab);
      }
      shown.takeTouched();
      colours = colourIndex(start);
    }
    for (const number of shown.takeTouched()) colours.set(number, labOfOwner(number));
    return colours;
  }

  /** Of a live block or mix, or a tile of its own recipe. */
  function labOfOwner(number: number) {
    const owner =
      table.isLive(number, 'mix') ||
      table.isLive(number, 'block') ||
      (table.isLive(number, 'tile') && table.namedBy(number, 'of').length === 0);
    return owner ? shown.of(number)?.lab : undefined;
  }
}

function isBefore(one: ColourIndexRow, other: ColourIndexRow): boolean {
  if (one.createdSeq !== other.createdSeq) return one.createdSeq < other.createdSeq;
  return one.id < other.id;
}

/** `createdSeq` counts for rows read from the store alone: others get the next number. */
function indexRow({ after, facts }: RowWrite, seq: number): ColourIndexRow {
  return {
    id: after.id,
    kind: after.kind,
    live: after.deletedAt === undefined,
    createdSeq: seq,
    changedSeq: seq,
    sortCode: facts.sortCode,
    sortName: facts.sortName,
    ...(facts.status === undefined ? {} : { status: facts.status }),
    words: facts.words,
    tags: facts.tags,
    ...(facts.lab === undefined ? {} : { lab: facts.lab }),
    links: facts.links.filter(({ role }) => COLOUR_ROLES.some((one) => one === role)),
  };
}
