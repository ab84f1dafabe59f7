/** Which numbered texts hold a word that begins so; texts come, change and go. */
export interface WordIndex {
  /** Changes the words of one text; an empty text goes. */
  change(number: number, before: string, after: string): void;
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

/**
 * Words and the texts they are in, as at the back of a book.
 * Shape:   texts of words parted by single spaces, outer spaces allowed
 * Holds:   the same marks as looking through every text
 */
export function wordIndex(): WordIndex {
  /** Most words of a large book are codes and numbers of one text: those need no list. */
  const known = new Map<string, number | number[]>();
  let sorted: string[] = [];
  let waiting: string[] = [];

  return {
    change(number, before, after) {
      if (before === after) return;
      const old = before === '' ? undefined : new Set(before.split(' '));
      const fresh = after.split(' ');
      for (const word of fresh) {
        if (word !== '' && old?.delete(word) !== true) add(word, number, old);
      }
      for (const word of old ?? []) if (!fresh.includes(word)) remove(word, number);
      if (waiting.length > Math.max(WAITING, sorted.length)) tidy();
    },
    mark(prefix, marks, bit) {
      for (const word of wordsFrom(prefix)) {
        const at = known.get(word);
        if (typeof at === 'number') marks[at] |= bit;
        else for (const number of at ?? []) marks[number] |= bit;
      }
    },
    at: (word) => listOf(known.get(word)),
    *beginning(prefix) {
      for (const word of wordsFrom(prefix)) {
        const at = listOf(known.get(word));
        if (at.length > 0) yield [word, at];
      }
    },
  };

  function add(word: string, number: number, old: Set<string> | undefined): void {
    const at = known.get(word);
    if (at === undefined) {
      known.set(word, number);
      waiting.push(word);
    } else if (typeof at === 'number') {
      if (at !== number) known.set(word, [at, number]);
    } else if (at.length === 0 || (at[at.length - 1] !== number && !twice(at, number, old))) {
      at.push(number);
    }
  }

  /** A word that is twice in a changed text was in its list before; of a new text it would be last. */
  function twice(at: readonly number[], number: number, old: Set<string> | undefined): boolean {
    return old !== undefined && at.includes(number);
  }

  function remove(word: string, number: number): void {
    const at = known.get(word);
    if (typeof at === 'number') known.set(word, []);
    else if (at !== undefined) {
      const place = at.indexOf(number);
      if (place >= 0) at.splice(place, 1);
    }
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
      const next = first ? old[i++] : fresh[j++];
      const at = known.get(next)!;
      if (typeof at === 'number' || at.length > 0) sorted.push(next);
      else known.delete(next);
    }
  }
}

function listOf(at: number | number[] | undefined): readonly number[] {
  return typeof at === 'number' ? [at] : (at ?? []);
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
