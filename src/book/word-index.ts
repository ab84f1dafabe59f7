import { grown } from './record-table.ts';

/** Which numbered texts hold a word that begins so; texts come, change and go. */
export interface WordIndex {
  /** The words of one text before and from now on; none of a text that goes. */
  change(number: number, before: readonly string[], after: readonly string[]): void;
  /** Adds `bit` to the marks of all texts with such a word. */
  mark(prefix: string, marks: Uint8Array, bit: number): void;
  /** Numbers of the texts with this very word, in no order. */
  at(word: string): readonly number[];
  /** Words that begin so and are in some text, in no order. */
  beginning(prefix: string): Iterable<readonly [word: string, at: readonly number[]]>;
}

/** So many new words may wait unsorted beside the sorted ones. */
const WAITING = 2000;
/** More of them wait where words only come, and are sorted in when somebody asks: by this share. */
const SHARE_ASKED = 1 / 8;

const END = -1;

/**
 * Words and the texts they are in, as at the back of a book. The texts of a word are a chain in two plain
 * arrays of numbers: an array for each word would take ten times as much.
 * Holds:   the same marks as looking through every text
 */
export function wordIndex(): WordIndex {
  /** Where the chain of a word begins; END where the word is in no text any more. */
  const begins = new Map<string, number>();
  let numbers = new Int32Array(0);
  let next = new Int32Array(0);
  let used = 0;
  let free = END;
  let sorted: string[] = [];
  let waiting: string[] = [];

  return {
    change(number, before, after) {
      const old = before.length === 0 ? undefined : new Set(before);
      const fresh = new Set(after);
      for (const word of fresh) if (old?.has(word) !== true) add(word, number);
      for (const word of old ?? []) if (!fresh.has(word)) remove(word, number);
      if (waiting.length > Math.max(WAITING, sorted.length)) tidy();
    },
    mark(prefix, marks, bit) {
      for (const word of wordsFrom(prefix)) {
        for (let at = beginOf(word); at !== END; at = next[at]) marks[numbers[at]] |= bit;
      }
    },
    at: listOf,
    *beginning(prefix) {
      for (const word of wordsFrom(prefix)) {
        if (beginOf(word) !== END) yield [word, listOf(word)];
      }
    },
  };

  function beginOf(word: string): number {
    return begins.get(word) ?? END;
  }

  function listOf(word: string): readonly number[] {
    const found: number[] = [];
    for (let at = beginOf(word); at !== END; at = next[at]) found.push(numbers[at]);
    return found;
  }

  function add(word: string, number: number): void {
    const begin = begins.get(word);
    if (begin === undefined) waiting.push(word);
    const at = free === END ? used++ : free;
    if (free !== END) free = next[free];
    if (at === numbers.length) {
      const room = Math.max(1024, Math.ceil(at * 1.5));
      numbers = grown(numbers, new Int32Array(room));
      next = grown(next, new Int32Array(room));
    }
    numbers[at] = number;
    next[at] = begin ?? END;
    begins.set(word, at);
  }

  function remove(word: string, number: number): void {
    let before = END;
    let at = beginOf(word);
    for (; at !== END && numbers[at] !== number; at = next[at]) before = at;
    if (at === END) return;
    if (before === END) begins.set(word, next[at]);
    else next[before] = next[at];
    next[at] = free;
    free = at;
  }

  function* wordsFrom(prefix: string): Iterable<string> {
    if (waiting.length > Math.max(WAITING, sorted.length * SHARE_ASKED)) tidy();
    for (let i = firstFrom(sorted, prefix); i < sorted.length; i++) {
      if (!sorted[i].startsWith(prefix)) break;
      yield sorted[i];
    }
    for (const word of waiting) if (word.startsWith(prefix)) yield word;
  }

  /** Words that are in no text any more fall out on the way. */
  function tidy(): void {
    const fresh = waiting.sort();
    const old = sorted;
    sorted = [];
    waiting = [];
    for (let i = 0, j = 0; i < old.length || j < fresh.length; ) {
      const first = j >= fresh.length || (i < old.length && old[i] < fresh[j]);
      const word = first ? old[i++] : fresh[j++];
      if (beginOf(word) !== END) sorted.push(word);
      else begins.delete(word);
    }
  }
}

function firstFrom(sorted: readonly string[], word: string): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < word) low = middle + 1;
    else high = middle;
  }
  return low;
}
