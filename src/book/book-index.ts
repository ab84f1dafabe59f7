import { foldedText, naturalKey } from '../domain/index-fields.ts';
import { BOOK_KINDS, type BookKind } from '../domain/records/record.ts';
import {
  type ColourFound,
  type ColourIndex,
  type ColourQuery,
  colourIndex,
  type IndexedColour,
} from './colour-index.ts';
import { type BookReads, COLOUR_ROLES, type ColourIndexRow, type RowWrite } from './ports.ts';
import { wordIndex } from './word-index.ts';

export interface TextQuery {
  readonly text: string;
  readonly kinds?: readonly BookKind[];
  readonly bin?: boolean;
  readonly limit: number;
  readonly offset: number;
}

/** Which records hold the words of a question, by number. */
export interface WordMarks {
  readonly marks: Uint8Array;
  /** Bits of a record that holds every word; nought where nothing was asked. */
  readonly all: number;
}

/** Records by number: in order of making, the oldest is 0; a number of what is gone stays empty. */
export interface NumberedRecords {
  /** Numbers run below it. */
  readonly size: number;
  rowAt(number: number): ColourIndexRow | undefined;
  /** Whether a live record of the kind has this number; nothing else is touched. */
  isLive(number: number, kind: BookKind): boolean;
  numberOf(id: string): number | undefined;
  /** Records that name one: its tiles and readings, the mixes of a block, the blocks of a line. */
  namersOf(id: string): Iterable<ColourIndexRow>;
  namerNumbersOf(id: string): Iterable<number>;
  /** Rises with every change. */
  readonly changes: number;
  markWords(text: string): WordMarks;
  /** Numbers of records of which this is the whole code or name, as `naturalKey` has it, bins too. */
  titled(key: string): readonly number[];
  /** Numbers of records that have this tag, a folded one; bins too. */
  tagged(tag: string): readonly number[];
  /** Every tag, folded, with the numbers of those that have it. */
  tags(): Iterable<readonly [tag: string, numbers: readonly number[]]>;
  /** Called with the numbers that came, changed or went, once they are in. */
  follow(hear: (numbers: readonly number[], rows: readonly RowWrite[]) => void): void;
}

/** All a book can be searched by, in memory; it follows every change. */
export interface BookIndex extends NumberedRecords {
  /** Resolves when the shelf has been read. */
  readonly ready: Promise<void>;
  /** A change that is on the disk, as `seq`. */
  take(seq: number, rows: readonly RowWrite[], gone: readonly string[]): void;
  /** The record whose code it is, then codes and names that begin so, then the rest; newest first. */
  find(query: TextQuery): { readonly ids: readonly string[]; readonly total: number };
  nearest(query: ColourQuery): readonly ColourFound[];
}

/** Rows read in one go, so that others get a turn between. */
const PAGE = 4000;
/** Words of one question; each has its bit. */
const MOST_WORDS = 7;
/** The bit of a code or name that begins with the whole question. */
export const BEGINS = 128;
const NOBODY: readonly number[] = [];
/** Texts told anew before others get a turn; a line that is renamed stands in very many. */
const TOLD_AT_ONCE = 2000;

interface Entry {
  readonly row: ColourIndexRow;
  /** In order of making: the oldest is 0, those of one change by id. */
  readonly number: number;
  /** Its own words and those of what it is told by: its line, its tiles, their colours. */
  text: string;
}

/**
 * The engine's own text search differs from engine to engine and knows nothing of CIEDE2000, so both
 * searches run here, over what the store tells of every record. See docs/adr/0012-book-store.md.
 * Limits:  true for the one process that owns the book; where a line or block is renamed that very many
 *          records show, the last of them are found by the new name a moment later
 */
export function bookIndex(reads: Pick<BookReads, 'shelf'>): BookIndex {
  const entries = new Map<string, Entry>();
  const byNumber: (Entry | undefined)[] = [];
  const sorts: number[] = [];
  const words = wordIndex();
  /** Who names a record: its tiles and readings, the mixes of a block, the blocks of a line. */
  const namers = new Map<string, number | Set<number>>();
  let colours: ColourIndex = colourIndex([]);
  let early: (() => void)[] | undefined = [];
  let taken = 0;
  const followers: ((numbers: readonly number[], rows: readonly RowWrite[]) => void)[] = [];

  const index: BookIndex = {
    ready: load(),
    take(seq, rows, gone) {
      if (early !== undefined) {
        early.push(() => index.take(seq, rows, gone));
        return;
      }
      taken++;
      const touched = new Set<string>();
      const wentNumbers = gone.flatMap((id) => entries.get(id)?.number ?? []);
      const sorted = rows.toSorted((one, other) => (one.after.id < other.after.id ? -1 : 1));
      for (const row of sorted) {
        const { id } = row.after;
        addTold(id, touched);
        enter(colourIndexRow(row, entries.get(id)?.row.createdSeq ?? seq, seq));
        addTold(id, touched);
      }
      for (const id of gone) {
        addTold(id, touched);
        leave(id);
      }
      const ids = [...touched];
      tellAnew(ids.slice(0, TOLD_AT_ONCE));
      void tellRest(ids.slice(TOLD_AT_ONCE));
      const numbers = sorted.map(({ after }) => entries.get(after.id)!.number);
      for (const hear of followers) hear([...numbers, ...wentNumbers], rows);
    },
    get size() {
      return byNumber.length;
    },
    rowAt: (number) => byNumber[number]?.row,
    isLive: (number, kind) => sorts[number] === BOOK_KINDS.indexOf(kind) + 1,
    numberOf: (id) => entries.get(id)?.number,
    namersOf,
    namerNumbersOf,
    get changes() {
      return taken;
    },
    titled: (key) => words.at(titleWord(key)),
    tagged: (tag) => words.at(tagWord(tag)),
    *tags() {
      for (const [word, numbers] of words.beginning(TAG_MARK)) {
        yield [word.slice(1).replaceAll('_', ' '), numbers];
      }
    },
    follow: (hear) => void followers.push(hear),
    markWords(text) {
      const marks = new Uint8Array(byNumber.length);
      const asked = [...new Set(foldedText(text).split(' ').filter(Boolean))].slice(0, MOST_WORDS);
      for (const [i, word] of asked.entries()) words.mark(word, marks, 1 << i);
      if (asked.length > 0) words.mark(titleWord(naturalKey(text)), marks, BEGINS);
      return { marks, all: (1 << asked.length) - 1 };
    },
    find({ text, kinds, bin = false, limit, offset }) {
      const { marks, all } = index.markWords(text);
      if (all === 0) return { ids: [], total: 0 };
      const whole = naturalKey(text);
      const first: string[] = [];
      const rest: number[] = [];
      const shown = kinds?.map((kind) => BOOK_KINDS.indexOf(kind));
      for (let number = marks.length - 1; number >= 0; number--) {
        if ((marks[number] & all) !== all) continue;
        // The kind by its number, from 1, in the bin below nought: nothing else is touched for a word
        // that stands everywhere.
        const sort = sorts[number];
        if (sort < 0 !== bin || (shown !== undefined && !shown.includes(Math.abs(sort) - 1)))
          continue;
        if ((marks[number] & BEGINS) === 0) rest.push(number);
        else {
          const { row } = byNumber[number]!;
          if (row.sortCode === whole) first.unshift(row.id);
          else first.push(row.id);
        }
      }
      const page = first.slice(offset, offset + limit);
      const from = Math.max(0, offset - first.length);
      const more = rest.slice(from, from + limit - page.length);
      const ids = [...page, ...more.map((number) => byNumber[number]!.row.id)];
      return { ids, total: first.length + rest.length };
    },
    nearest: (query) => colours.nearest(query),
  };
  // A book closed while it was being read: whoever still searches hears of it, nobody else.
  index.ready.catch(() => {});
  return index;

  async function load(): Promise<void> {
    const rows: ColourIndexRow[] = [];
    for (let after: string | undefined = ''; after !== undefined; ) {
      const page: readonly ColourIndexRow[] = await reads.shelf(after, PAGE);
      for (const row of page) rows.push(row);
      after = page.length < PAGE ? undefined : page[page.length - 1].id;
      await breath();
    }
    // Rows come by id, and so stay those of one change.
    rows.sort((one, other) => one.createdSeq - other.createdSeq);
    for (const row of rows) enter(row, false);
    colours = colourIndex([...entries.values()].flatMap((entry) => colourOf(entry.row) ?? []));
    for (let from = 0; from < byNumber.length; from += PAGE) {
      await breath();
      words.change(
        byNumber.slice(from, from + PAGE).map((entry) => {
          entry!.text = textOf(entry!.row);
          return [entry!.number, '', entry!.text];
        }),
      );
    }
    const waiting = early ?? [];
    early = undefined;
    for (const take of waiting) take();
  }

  function enter(row: ColourIndexRow, withColour = true): void {
    const old = entries.get(row.id);
    if (old !== undefined) unname(old);
    const number = old?.number ?? byNumber.length;
    const entry = { row, number, text: old?.text ?? '' };
    entries.set(row.id, entry);
    byNumber[number] = entry;
    sorts[number] = (BOOK_KINDS.indexOf(row.kind) + 1) * (row.live ? 1 : -1);
    for (const { to } of row.links) {
      const known = namers.get(to);
      if (known === undefined) namers.set(to, number);
      else if (typeof known === 'number') namers.set(to, new Set([known, number]));
      else known.add(number);
    }
    if (withColour) recolour(row);
  }

  function leave(id: string): void {
    const old = entries.get(id);
    if (old === undefined) return;
    unname(old);
    words.change([[old.number, old.text, '']]);
    entries.delete(id);
    byNumber[old.number] = undefined;
    sorts[old.number] = 0;
    colours.remove(id);
  }

  function unname({ number, row }: Entry): void {
    for (const { to } of row.links) {
      const known = namers.get(to);
      if (known === number) namers.delete(to);
      else if (typeof known !== 'number') known?.delete(number);
    }
  }

  function namerNumbersOf(id: string): Iterable<number> {
    const known = namers.get(id);
    return typeof known === 'number' ? [known] : (known ?? NOBODY);
  }

  function* namersOf(id: string): Iterable<ColourIndexRow> {
    for (const number of namerNumbersOf(id)) {
      const entry = byNumber[number];
      if (entry !== undefined) yield entry.row;
    }
  }

  /** A record with all whose text holds words of it. */
  function addTold(id: string, into: Set<string>): void {
    into.add(id);
    const row = entries.get(id)?.row;
    if (row === undefined) return;
    if (row.kind === 'line') {
      for (const block of namersOf(id)) addTold(block.id, into);
    } else if (row.kind === 'block' || row.kind === 'mix') {
      for (const namer of namersOf(id)) {
        if (namer.kind === 'tile' || namer.kind === 'mix') into.add(namer.id);
      }
    } else for (const up of sampleOf(row)) addTold(up, into);
  }

  async function tellRest(ids: readonly string[]): Promise<void> {
    for (let from = 0; from < ids.length; from += TOLD_AT_ONCE) {
      await breath();
      tellAnew(ids.slice(from, from + TOLD_AT_ONCE));
    }
  }

  function tellAnew(ids: readonly string[]): void {
    const texts: [number, string, string][] = [];
    for (const id of ids) {
      const entry = entries.get(id);
      if (entry === undefined) continue;
      const after = textOf(entry.row);
      if (after === entry.text) continue;
      texts.push([entry.number, entry.text, after]);
      entry.text = after;
    }
    words.change(texts);
  }

  function textOf(row: ColourIndexRow): string {
    const titles = new Set([row.sortCode, row.sortCode.replaceAll(' ', ''), row.sortName]);
    let text = `${row.words}${[...titles].map(titleWord).join(' ')} ${row.tags.map(tagWord).join(' ')} `;
    for (const { role, to } of row.links) {
      const other = entries.get(to)?.row;
      if (other === undefined) continue;
      if (role === 'line' || (role === 'of' && row.kind === 'tile')) text += other.words;
      else if (role === 'parts') text += lineWords(other);
    }
    for (const sample of samplesOf(row.id)) {
      text += sample.words;
      if (sample.kind === 'tile') for (const { words } of samplesOf(sample.id)) text += words;
    }
    return text;
  }

  function lineWords({ links }: ColourIndexRow): string {
    const line = links.find(({ role }) => role === 'line');
    return (line === undefined ? undefined : entries.get(line.to)?.row.words) ?? '';
  }

  function* samplesOf(id: string): Iterable<ColourIndexRow> {
    for (const namer of namersOf(id)) {
      if (namer.live && sampleOf(namer).includes(id)) yield namer;
    }
  }

  function recolour(row: ColourIndexRow): void {
    const colour = colourOf(row);
    if (colour === undefined) colours.remove(row.id);
    else colours.set(colour);
    if (row.kind !== 'tile') return;
    for (const reading of samplesOf(row.id)) recolour(reading);
  }

  function colourOf(row: ColourIndexRow): IndexedColour | undefined {
    if (row.lab === undefined || !row.live) return undefined;
    const raw = row.status?.startsWith('raw') === true;
    const [of] = sampleOf(row);
    const tile = of === undefined ? undefined : entries.get(of)?.row;
    const owner = tile?.kind === 'tile' ? (sampleOf(tile)[0] ?? tile.id) : (of ?? row.id);
    const kind = entries.get(owner)?.row.kind;
    return kind === undefined ? undefined : { source: row.id, lab: row.lab, owner, kind, raw };
  }
}

/** A whole code or name as one word, which no folded word can be. */
function titleWord(sortKey: string): string {
  return `^${sortKey.replaceAll(' ', '_')}`;
}

/** No folded word begins so. */
const TAG_MARK = '#';

/** A whole tag as one word. */
function tagWord(tag: string): string {
  return `${TAG_MARK}${tag.replaceAll(' ', '_')}`;
}

/** What a tile or reading is a sample of. */
export function sampleOf({ kind, links }: ColourIndexRow): readonly string[] {
  if (kind !== 'tile' && kind !== 'reading') return [];
  return links.filter(({ role }) => role === 'of').map(({ to }) => to);
}

function colourIndexRow(
  { after, facts }: RowWrite,
  createdSeq: number,
  changedSeq: number,
): ColourIndexRow {
  return {
    id: after.id,
    kind: after.kind,
    live: after.deletedAt === undefined,
    createdSeq,
    changedSeq,
    sortCode: facts.sortCode,
    sortName: facts.sortName,
    ...(facts.status === undefined ? {} : { status: facts.status }),
    words: facts.words,
    tags: facts.tags,
    ...(facts.lab === undefined ? {} : { lab: facts.lab }),
    links: facts.links.filter(({ role }) => COLOUR_ROLES.includes(role)),
  };
}

/** The engine answers at once; a breath lets others be answered between. */
function breath(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
