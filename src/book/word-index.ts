/** Which numbered texts hold a word that begins so; texts come, change and go. */
export interface WordIndex {
  /** Changes the words of some texts; an empty text goes. */
  change(texts: Iterable<readonly [number: number, before: string, after: string]>): void;
  /** Adds `bit` to the marks of all texts with such a word. */
  mark(prefix: string, marks: Uint8Array, bit: number): void;
  /** Numbers of the texts with this very word, in no order. */
  at(word: string): readonly number[];
  /** Words that begin so and stand somewhere, in no order. */
  beginning(prefix: string): Iterable<readonly [word: string, at: readonly number[]]>;
}

/** New words wait in a heap beside the sorted ones until there are so many, and an eighth as many. */
const HEAP = 2000;

/**
 * Words and where they stand, as at the back of a book.
 * Shape:   texts of words parted by single spaces, outer spaces allowed
 * Holds:   the same marks as looking through every text
 */
export function wordIndex(): WordIndex {
  const known = new Map<string, Word>();
  let sorted: Word[] = [];
  let heap: Word[] = [];

  return {
    change(texts) {
      const go = new Map<Word, Set<number>>();
      for (const [number, before, after] of texts) {
        const old = wordsOf(before);
        const fresh = wordsOf(after);
        for (const word of fresh) if (!old.has(word)) add(word, number);
        for (const word of old) {
          if (fresh.has(word)) continue;
          const gone = known.get(word)!;
          const numbers = go.get(gone);
          if (numbers === undefined) go.set(gone, new Set([number]));
          else numbers.add(number);
        }
      }
      for (const [word, numbers] of go) word.at = word.at.filter((at) => !numbers.has(at));
      if (heap.length > Math.max(HEAP, sorted.length / 8)) tidy();
    },
    mark(prefix, marks, bit) {
      for (let i = firstFrom(sorted, prefix); i < sorted.length; i++) {
        const { word, at } = sorted[i];
        if (!word.startsWith(prefix)) break;
        for (const number of at) marks[number] |= bit;
      }
      for (const { word, at } of heap) {
        if (word.startsWith(prefix)) for (const number of at) marks[number] |= bit;
      }
    },
    at: (word) => known.get(word)?.at ?? [],
    *beginning(prefix) {
      for (let i = firstFrom(sorted, prefix); i < sorted.length; i++) {
        const { word, at } = sorted[i];
        if (!word.startsWith(prefix)) break;
        if (at.length > 0) yield [word, at];
      }
      for (const { word, at } of heap) {
        if (word.startsWith(prefix) && at.length > 0) yield [word, at];
      }
    },
  };

  function add(word: string, number: number): void {
    const old = known.get(word);
    if (old !== undefined) {
      old.at.push(number);
      return;
    }
    const fresh = { word, at: [number] };
    known.set(word, fresh);
    heap.push(fresh);
  }

  /** Words that stand nowhere any more fall out on the way. */
  function tidy(): void {
    const fresh = heap.sort((one, other) => (one.word < other.word ? -1 : 1));
    const old = sorted;
    sorted = [];
    heap = [];
    for (let i = 0, j = 0; i < old.length || j < fresh.length; ) {
      const first = j >= fresh.length || (i < old.length && old[i].word < fresh[j].word);
      const next = first ? old[i++] : fresh[j++];
      if (next.at.length > 0) sorted.push(next);
      else known.delete(next.word);
    }
  }
}

interface Word {
  readonly word: string;
  /** Numbers of the texts it stands in. */
  at: number[];
}

function wordsOf(text: string): Set<string> {
  const words = new Set(text.split(' '));
  words.delete('');
  return words;
}

function firstFrom(sorted: readonly Word[], word: string): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle].word < word) low = middle + 1;
    else high = middle;
  }
  return low;
}
