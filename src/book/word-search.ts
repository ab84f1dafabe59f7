import { coloursOfWord } from '../core/colour/everyday-colours.ts';
import { foldedText, naturalKey } from '../domain/index-fields.ts';
import { BOOK_KINDS, type BookKind } from '../domain/records/record.ts';
import type { RecordTable } from './record-table.ts';
import type { ShownColours } from './shown-colours.ts';
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
  /** Bits of a record that holds every word; 0 if the search text is empty. */
  readonly all: number;
}

/** Words of one question; each has its bit. */
const MOST_WORDS = 7;
/** The bit of a code or name that begins with the whole question. */
export const BEGINS = 128;
/** No folded word begins so. */
const TAG_MARK = '#';

export interface WordSearch {
  /** The words of a record are others from now on; empty for one that is gone. */
  change(number: number, before: TitledText, after: TitledText): void;
  mark(text: string): WordMarks;
  /** The record whose code it is, then codes and names that begin so, then the rest; newest first. */
  find(query: TextQuery): { readonly ids: readonly string[]; readonly total: number };
  /** Numbers of records of which this is the whole code or name, as `naturalKey` has it. */
  titled(key: string): readonly number[];
  /** Numbers of records that have this tag, a folded one. */
  tagged(tag: string): readonly number[];
  /** Every tag, folded, with the numbers of those that have it. */
  tags(): Iterable<readonly [tag: string, numbers: readonly number[]]>;
}

/** What a record is found by itself. */
export interface TitledText {
  readonly text: string;
  readonly sortCode: string;
  readonly sortName: string;
}

export const NO_TEXT: TitledText = { text: '', sortCode: '', sortName: '' };

/**
 * Search by words. Only a record's own words are kept; what it is found by besides (its line, its mix, the
 * box it is in, its tiles, the colour it shows) is followed along the links when somebody asks, so that a
 * line that is renamed changes one record and not the thousands that are made of it.
 */
export function wordSearch(table: RecordTable, shown: ShownColours): WordSearch {
  const words = wordIndex();
  return {
    change: (number, before, after) => words.change(number, wordsOf(before), wordsOf(after)),
    mark,
    find({ text, kinds, bin = false, limit, offset }) {
      const { marks, all } = mark(text);
      if (all === 0) return { ids: [], total: 0 };
      const whole = naturalKey(text);
      const first: number[] = [];
      const rest: number[] = [];
      const asked = kinds ?? BOOK_KINDS;
      for (let number = marks.length - 1; number >= 0; number--) {
        if ((marks[number] & all) !== all || table.isDeleted(number) !== bin) continue;
        const kind = table.kindAt(number);
        if (kind === undefined || !asked.includes(kind)) continue;
        if ((marks[number] & BEGINS) === 0) rest.push(number);
        else if (table.sortCodeAt(number) === whole) first.unshift(number);
        else first.push(number);
      }
      const page = first.slice(offset, offset + limit);
      const from = Math.max(0, offset - first.length);
      page.push(...rest.slice(from, from + limit - page.length));
      return { ids: page.map(table.idAt), total: first.length + rest.length };
    },
    titled: (key) => words.at(titleWord(key)),
    tagged: (tag) => words.at(tagWord(tag)),
    *tags() {
      for (const [word, numbers] of words.beginning(TAG_MARK)) {
        yield [word.slice(1).replaceAll('_', ' '), numbers];
      }
    },
  };

  function mark(text: string): WordMarks {
    const own = new Uint8Array(table.size);
    const asked = [...new Set(foldedText(text).split(' ').filter(Boolean))].slice(0, MOST_WORDS);
    for (const [i, word] of asked.entries()) words.mark(word, own, 1 << i);
    const marks = own.slice();
    for (let number = 0; number < own.length; number++) {
      if (own[number] !== 0) spread(number, own[number], marks);
    }
    markColours(asked, marks);
    if (asked.length > 0) words.mark(titleWord(naturalKey(text)), marks, BEGINS);
    return { marks, all: (1 << asked.length) - 1 };
  }

  /** Whoever is found by the words of this record. */
  function spread(number: number, bits: number, marks: Uint8Array): void {
    const kind = table.kindAt(number);
    switch (kind) {
      case 'line':
        for (const block of table.namersOf(number, 'line')) {
          marks[block] |= bits;
          for (const made of table.namersOf(block, 'parts')) marks[made] |= bits;
        }
        return;
      case 'block':
      case 'mix':
        for (const one of table.namersOf(number, 'of')) {
          if (table.kindAt(one) === 'tile') marks[one] |= bits;
        }
        return;
      case 'tile':
      case 'reading':
        if (!table.isLive(number, kind)) return;
        for (const of of table.namedBy(number, 'of')) {
          marks[of] |= bits;
          if (kind === 'reading' && table.isLive(of, 'tile')) {
            for (const owner of table.namedBy(of, 'of')) marks[owner] |= bits;
          }
        }
        return;
      case 'box':
        if (!table.isLive(number, 'box')) return;
        for (const inside of inBox(table, number)) marks[inside] |= bits;
    }
  }

  /** Mixes, tiles and blocks by the colour they show, readings by their own. */
  function markColours(asked: readonly string[], marks: Uint8Array): void {
    const flags = asked.map(coloursOfWord);
    if (flags.every((one) => one === undefined)) return;
    for (let number = 0; number < marks.length; number++) {
      const name = table.isLive(number, 'reading')
        ? table.colourNameAt(number)
        : shown.nameOf(number);
      if (name < 0) continue;
      for (let i = 0; i < flags.length; i++) if (flags[i]?.[name] === 1) marks[number] |= 1 << i;
    }
  }
}

/** What is in a box or in a box inside it: tiles with the mix or block they are of, and what it holds. */
export function inBox(table: RecordTable, box: number): ReadonlySet<number> {
  const found = new Set<number>();
  const seen = new Set([box]);
  const add = (number: number) => {
    found.add(number);
    const kind = table.kindAt(number);
    if (kind !== 'tile' && kind !== 'purchase') return;
    if (table.isLive(number, kind)) for (const of of table.namedBy(number, 'of')) found.add(of);
  };
  for (const one of seen) {
    for (const held of table.namedBy(one, 'holds')) add(held);
    for (const held of table.namersOf(one, 'box')) if (!table.isDeleted(held)) add(held);
    for (const inner of table.namersOf(one, 'inside'))
      if (table.isLive(inner, 'box')) seen.add(inner);
  }
  return found;
}

function wordsOf({ text, sortCode, sortName }: TitledText): readonly string[] {
  const titles = new Set([sortCode, sortCode.replaceAll(' ', ''), sortName]);
  titles.delete('');
  return [...text.split(' ').filter(Boolean), ...[...titles].map(titleWord)];
}

/** A whole code or name as one word, which no folded word can be. */
function titleWord(sortKey: string): string {
  // Joined, so that the index holds one plain string and not the pieces.
  return ['^', sortKey.replaceAll(' ', '_')].join('');
}

/** A whole tag as one word. */
export function tagWord(tag: string): string {
  return `${TAG_MARK}${tag.replaceAll(' ', '_')}`;
}
