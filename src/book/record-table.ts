import { ISCC_NBS } from '../core/colour/iscc-nbs.data.ts';
import type { Lab } from '../core/colour/triples.ts';
import { BOOK_KINDS, type BookKind } from '../domain/records/record.ts';
import { type LinkTable, linkTable } from './link-table.ts';
import type { ColourIndexRow } from './ports.ts';

/** A colour with its place in `ISCC_NBS`. */
export interface NamedLab {
  readonly lab: Lab;
  readonly name: number;
}

/**
 * What the index keeps of every record, in columns by number: a book of 100,000 mixes has 300,000
 * records, and an object for each would fill a gigabyte. Numbers are given in order of making and never
 * again; a number whose record was deleted for good stays empty.
 */
export interface RecordTable extends LinkTable {
  /** Numbers run below it. */
  readonly size: number;
  numberOf(id: string): number | undefined;
  idAt(number: number): string;
  /** Undefined where the record is gone for good. */
  kindAt(number: number): BookKind | undefined;
  /** Whether a live record of the kind has this number; nothing else is read. */
  isLive(number: number, kind: BookKind): boolean;
  isDeleted(number: number): boolean;
  changedSeqAt(number: number): number;
  sortCodeAt(number: number): string;
  sortNameAt(number: number): string;
  /** Status of a reading, `baked, measured`; empty for all other records. */
  statusAt(number: number): string;
  /** Its own words without a colour name, and its tags as whole words. */
  textAt(number: number): string;
  /** Of a reading, or as it was predicted when a mix was saved. */
  colourAt(number: number): NamedLab | undefined;
  /** Place of the colour's name in `ISCC_NBS`; -1 where there is no colour. */
  colourNameAt(number: number): number;
  set(row: ColourIndexRow, fields: { readonly text: string; readonly colourName: number }): number;
  remove(id: string): number | undefined;
}

const NO_NAME = ISCC_NBS.length;

export function recordTable(): RecordTable {
  const numbers = new Map<string, number>();
  const ids: string[] = [];
  const sortCodes: string[] = [];
  const sortNames: string[] = [];
  const texts: string[] = [];
  const statuses: string[] = [];
  /** Kind from 1; below 0 while deleted, 0 where the record is gone. */
  let kinds = new Int8Array(0);
  let changed = new Int32Array(0);
  let labs = new Float64Array(0);
  let names = new Uint16Array(0);
  const links = linkTable((id) => numbers.get(id));

  return {
    ...links,
    get size() {
      return ids.length;
    },
    numberOf: (id) => numbers.get(id),
    idAt: (number) => ids[number],
    kindAt: (number) => BOOK_KINDS[Math.abs(kinds[number]) - 1],
    isLive: (number, kind) => kinds[number] === BOOK_KINDS.indexOf(kind) + 1,
    isDeleted: (number) => kinds[number] < 0,
    changedSeqAt: (number) => changed[number],
    sortCodeAt: (number) => sortCodes[number],
    sortNameAt: (number) => sortNames[number],
    statusAt: (number) => statuses[number],
    textAt: (number) => texts[number],
    colourAt(number) {
      const name = names[number];
      if (name === NO_NAME) return undefined;
      const at = 3 * number;
      return { lab: [labs[at], labs[at + 1], labs[at + 2]], name };
    },
    colourNameAt: (number) => (names[number] === NO_NAME ? -1 : names[number]),
    set(row, { text, colourName }) {
      const { id, lab, sortCode, sortName } = row;
      const number = numbers.get(id) ?? ids.length;
      if (number === ids.length) {
        if (number === kinds.length) grow();
        ids.push(id);
        numbers.set(id, number);
      }
      kinds[number] = (BOOK_KINDS.indexOf(row.kind) + 1) * (row.live ? 1 : -1);
      changed[number] = row.changedSeq;
      sortCodes[number] = sortCode;
      // One string where both say the same, as most tiles do.
      sortNames[number] = sortName === sortCode ? sortCode : sortName;
      texts[number] = text;
      statuses[number] = row.kind === 'reading' ? shared(row.status ?? '') : '';
      names[number] = lab === undefined ? NO_NAME : colourName;
      if (lab !== undefined) labs.set(lab, 3 * number);
      links.setLinks(id, number, row.links);
      return number;
    },
    remove(id) {
      const number = numbers.get(id);
      if (number === undefined) return undefined;
      links.dropLinks(id, number);
      numbers.delete(id);
      kinds[number] = 0;
      names[number] = NO_NAME;
      ids[number] = sortCodes[number] = sortNames[number] = '';
      texts[number] = statuses[number] = '';
      return number;
    },
  };

  function grow(): void {
    const room = Math.max(1024, Math.ceil(kinds.length * 1.5));
    kinds = grown(kinds, new Int8Array(room));
    changed = grown(changed, new Int32Array(room));
    labs = grown(labs, new Float64Array(3 * room));
    names = grown(names, new Uint16Array(room));
  }
}

/** Copies an array into the start of a longer one; the rest stays 0. */
export function grown<T extends { set(from: T): void }>(from: T, into: T): T {
  into.set(from);
  return into;
}

const STATUSES = new Map<string, string>();

/** The engine gives every row a string of its own, and statuses are few. */
function shared(status: string): string {
  const known = STATUSES.get(status);
  if (known !== undefined) return known;
  STATUSES.set(status, status);
  return status;
}
