import type { BookKind } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { type NearestBook, nearestBook } from '../../core/recipe/nearest.ts';
import { foldedText, naturalKey } from './facts.ts';
import { type BookReads, type RowWrite, SHELF_ROLES, type ShelfRow } from './ports.ts';

export interface TextQuery {
  readonly text: string;
  readonly kinds?: readonly BookKind[];
  readonly bin?: boolean;
  readonly limit: number;
  readonly offset: number;
}

export interface ColourQuery {
  /** D50, 2 degrees. */
  readonly lab: Lab;
  readonly kinds?: readonly BookKind[];
  readonly top: number;
  /** Only up to so far, CIEDE2000. */
  readonly within?: number;
  /** Raw colours too; baked ones only unless asked. */
  readonly raw?: boolean;
}

export interface ColourFound {
  /** The block or mix; a tile of its own recipe. */
  readonly id: string;
  /** The reading, or the mix itself where the colour was foretold. */
  readonly source: string;
  readonly foretold: boolean;
  readonly dE00: number;
}

/** All a book can be searched by, in memory; it follows every change. */
export interface BookIndex {
  /** Resolves when the shelf has been read. */
  readonly ready: Promise<void>;
  /** A change that is on the disk, as `seq`. */
  take(seq: number, rows: readonly RowWrite[], gone: readonly string[]): void;
  /** Codes that are it, then codes and names that begin so, then any word that does; newest first. */
  find(query: TextQuery): { readonly ids: readonly string[]; readonly total: number };
  /** Nearest first, each block or mix once. */
  nearest(query: ColourQuery): readonly ColourFound[];
}

/** Rows read in one go, so that others get a turn between. */
const PAGE = 4000;

interface Entry extends ShelfRow {
  /** Its own words and those of what it is told by: its line, its tiles, their colours. */
  text: string | undefined;
  /** Its place among the colours. */
  point: number | undefined;
}

/**
 * The engine's own text search differs from engine to engine and knows nothing of CIEDE2000, so both
 * searches run over one plain list here. See docs/adr/0012-book-store.md.
 * Limits:  true for the one process that owns the book
 */
export function bookIndex(reads: BookReads): BookIndex {
  const entries = new Map<string, Entry>();
  /** Tiles and readings of a record. */
  const samples = new Map<string, Set<string>>();
  /** In order of making, the oldest first; those of one change by id. */
  let order: Entry[] = [];
  let colours: NearestBook = nearestBook([]);
  const sources: string[] = [];
  let early: (() => void)[] | undefined = [];

  const index: BookIndex = {
    ready: load(),
    take(seq, rows, gone) {
      if (early !== undefined) {
        early.push(() => index.take(seq, rows, gone));
        return;
      }
      const sorted = rows.toSorted((one, other) => (one.after.id < other.after.id ? -1 : 1));
      for (const row of sorted) put(shelfRow(row, entries.get(row.after.id)?.createdSeq ?? seq));
      for (const id of gone) drop(id);
      if (gone.length > 0) order = order.filter(({ id }) => entries.has(id));
      // Mixes are found by the lines of their blocks; those rarely change, and then all is told anew.
      const rooted = rows.some(({ after }) => after.kind === 'line' || after.kind === 'block');
      if (rooted || gone.length > 0) for (const entry of order) entry.text = undefined;
    },
    find({ text, kinds, bin = false, limit, offset }) {
      const words = foldedText(text).split(' ').filter(Boolean);
      if (words.length === 0) return { ids: [], total: 0 };
      const begins = words.map((word) => ` ${word}`);
      const whole = naturalKey(text);
      const best: [string[], string[], string[]] = [[], [], []];
      let total = 0;
      for (let i = order.length - 1; i >= 0; i--) {
        const entry = order[i];
        if (entry.live === bin || (kinds !== undefined && !kinds.includes(entry.kind))) continue;
        const shown = (entry.text ??= textOf(entry));
        if (!begins.every((word) => shown.includes(word))) continue;
        total++;
        const rank =
          entry.sortCode === whole
            ? 0
            : entry.sortCode.startsWith(whole) || entry.sortName.startsWith(whole)
              ? 1
              : 2;
        best[rank].push(entry.id);
      }
      return { ids: best.flat().slice(offset, offset + limit), total };
    },
    nearest({ lab, kinds, top, within, raw = false }) {
      const allowed = new Uint8Array(colours.size);
      for (let i = 0; i < sources.length; i++) {
        const entry = entries.get(sources[i]);
        if (entry === undefined || !entry.live || entry.lab === undefined) continue;
        if (!raw && entry.status?.startsWith('raw') === true) continue;
        const kind = entries.get(ownerOf(entry))?.kind;
        if (kind !== undefined && (kinds === undefined || kinds.includes(kind))) allowed[i] = 1;
      }
      // A mix with many readings must not crowd out the next mix, so more are asked for until enough.
      for (let ask = 2 * top; ; ask *= 4) {
        const options = { top: ask, allowed, ...(within === undefined ? {} : { within }) };
        const near = colours.nearest(lab, options);
        const found = new Map<string, ColourFound>();
        for (const { index: i, dE00 } of near) {
          const source = entries.get(sources[i])!;
          const id = ownerOf(source);
          if (!found.has(id)) {
            found.set(id, { id, source: source.id, foretold: source.kind === 'mix', dE00 });
          }
        }
        if (found.size >= top || near.length < ask) return [...found.values()].slice(0, top);
      }
    },
  };
  // A book closed while it was being read: whoever still searches hears of it, nobody else.
  index.ready.catch(() => {});
  return index;

  async function load(): Promise<void> {
    const rows: ShelfRow[] = [];
    for (let after: string | undefined = ''; after !== undefined; ) {
      const page: readonly ShelfRow[] = await reads.shelf(after, PAGE);
      rows.push(...page);
      after = page.length < PAGE ? undefined : page[page.length - 1].id;
      // The engine answers at once; a breath lets the server answer others.
      await new Promise((resolve) => setImmediate(resolve));
    }
    // Rows come by id, and so stay those of one change.
    rows.sort((one, other) => one.createdSeq - other.createdSeq);
    const labs: number[] = [];
    for (const row of rows) {
      const point = row.lab === undefined ? undefined : sources.push(row.id) - 1;
      if (row.lab !== undefined) labs.push(...row.lab);
      const entry: Entry = { ...row, text: undefined, point };
      entries.set(row.id, entry);
      order.push(entry);
      joinSamples(entry);
    }
    colours = nearestBook(labs);
    for (const entry of order) entry.text = textOf(entry);
    const waiting = early ?? [];
    early = undefined;
    for (const take of waiting) take();
  }

  function put(row: ShelfRow): void {
    const old = entries.get(row.id);
    if (old !== undefined) leaveSamples(old);
    let point = old?.point;
    if (row.lab !== undefined) {
      point ??= sources.push(row.id) - 1;
      colours.set(point, row.lab);
    }
    const entry: Entry = { ...row, text: undefined, point };
    entries.set(row.id, entry);
    if (old === undefined) order.push(entry);
    else order[placeOf(old)] = entry;
    joinSamples(entry);
    forgetTexts(entry);
    if (old !== undefined) forgetTexts(old);
  }

  function drop(id: string): void {
    const old = entries.get(id);
    if (old === undefined) return;
    leaveSamples(old);
    entries.delete(id);
  }

  function placeOf(entry: Entry): number {
    let low = 0;
    let high = order.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (order[middle].createdSeq < entry.createdSeq) low = middle + 1;
      else high = middle;
    }
    while (order[low] !== entry) low++;
    return low;
  }

  function joinSamples(entry: Entry): void {
    for (const to of samplesOf(entry)) {
      const known = samples.get(to);
      if (known === undefined) samples.set(to, new Set([entry.id]));
      else known.add(entry.id);
    }
  }

  function leaveSamples(entry: Entry): void {
    for (const to of samplesOf(entry)) samples.get(to)?.delete(entry.id);
  }

  /** Whose words changed, those who are told by it must be told anew, when next asked for. */
  function forgetTexts(entry: Entry): void {
    for (let at: Entry | undefined = entry; at !== undefined; ) {
      at.text = undefined;
      const [up]: readonly string[] = samplesOf(at);
      at = up === undefined ? undefined : entries.get(up);
    }
  }

  function textOf(entry: Entry): string {
    const words = [entry.words];
    for (const { role, to } of entry.links) {
      const other = entries.get(to);
      if (other === undefined) continue;
      if (role === 'line') words.push(other.words);
      else if (role === 'of' && entry.kind === 'tile') words.push(other.words);
      else if (role === 'parts') words.push(lineWords(other));
    }
    tellSamples(entry.id, words, 2);
    return words.length === 1 ? words[0] : [...new Set(words)].join('');
  }

  function lineWords(block: Entry): string {
    const line = block.links.find(({ role }) => role === 'line');
    return (line === undefined ? undefined : entries.get(line.to)?.words) ?? '';
  }

  function tellSamples(id: string, words: string[], depth: number): void {
    if (depth === 0) return;
    for (const sample of samples.get(id) ?? []) {
      const entry = entries.get(sample);
      if (entry === undefined || !entry.live) continue;
      words.push(entry.words);
      if (entry.kind === 'tile') tellSamples(sample, words, depth - 1);
    }
  }

  function ownerOf(source: Entry): string {
    if (source.kind !== 'reading') return source.id;
    const [of] = samplesOf(source);
    const tile = of === undefined ? undefined : entries.get(of);
    if (tile?.kind !== 'tile') return of ?? source.id;
    return samplesOf(tile)[0] ?? tile.id;
  }
}

/** What a tile or reading is a sample of. */
function samplesOf({ kind, links }: ShelfRow): readonly string[] {
  if (kind !== 'tile' && kind !== 'reading') return [];
  return links.filter(({ role }) => role === 'of').map(({ to }) => to);
}

function shelfRow({ after, facts }: RowWrite, createdSeq: number): ShelfRow {
  return {
    id: after.id,
    kind: after.kind,
    live: after.binnedAt === undefined,
    createdSeq,
    sortCode: facts.sortCode,
    sortName: facts.sortName,
    ...(facts.status === undefined ? {} : { status: facts.status }),
    words: facts.words,
    ...(facts.lab === undefined ? {} : { lab: facts.lab }),
    links: facts.links.filter(({ role }) => SHELF_ROLES.includes(role)),
  };
}
