/** Which numbered texts hold a word that begins so; texts come, change and go. */
export interface WordIndex {
  /** Changes the words of some texts; an empty text goes. */
  change(texts: Iterable<readonly [number: number, before: string, after: string]>): void;
  /** Adds `bit` to the marks of all texts with such a word. */
  mark(prefix: string, marks: Uint8Array, bit: number): void;
}

/** New words wait in a heap beside the sorted ones until there are so many. */
const HEAP = 2000;

/**
 * Words and where they stand, as at the back of a book.
 * Shape:   texts of words parted by single spaces, outer spaces allowed
 * Holds:   the same marks as looking through every text
 */
export function wordIndex(): WordIndex {
  const places = new Map<string, number[]>();
  let sorted: string[] = [];
  let heap: string[] = [];

  return {
    change(texts) {
      const come = new Map<string, number[]>();
      const go = new Map<string, Set<number>>();
      for (const [number, before, after] of texts) {
        const old = wordsOf(before);
        const fresh = wordsOf(after);
        for (const word of fresh) if (!old.has(word)) pile(come, word, number);
        for (const word of old) {
          if (fresh.has(word)) continue;
          const numbers = go.get(word);
          if (numbers === undefined) go.set(word, new Set([number]));
          else numbers.add(number);
        }
      }
      for (const [word, numbers] of go) {
        places.set(
          word,
          places.get(word)!.filter((number) => !numbers.has(number)),
        );
      }
      for (const [word, numbers] of come) {
        const known = places.get(word);
        if (known === undefined) {
          places.set(word, numbers);
          heap.push(word);
        } else for (const number of numbers) known.push(number);
      }
      if (heap.length > HEAP) tidy();
    },
    mark(prefix, marks, bit) {
      const all = (word: string) => {
        for (const number of places.get(word)!) marks[number] |= bit;
      };
      for (let at = firstFrom(sorted, prefix); at < sorted.length; at++) {
        if (!sorted[at].startsWith(prefix)) break;
        all(sorted[at]);
      }
      for (const word of heap) if (word.startsWith(prefix)) all(word);
    },
  };

  /** Words that stand nowhere any more fall out on the way. */
  function tidy(): void {
    const fresh = heap.sort();
    const old = sorted;
    sorted = [];
    heap = [];
    for (let i = 0, j = 0; i < old.length || j < fresh.length; ) {
      const word = j >= fresh.length || old[i] < fresh[j] ? old[i++] : fresh[j++];
      if (places.get(word)!.length > 0) sorted.push(word);
      else places.delete(word);
    }
  }
}

function wordsOf(text: string): Set<string> {
  const words = new Set(text.split(' '));
  words.delete('');
  return words;
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

function pile<T>(piles: Map<string, T[]>, key: string, item: T): void {
  const pile = piles.get(key);
  if (pile === undefined) piles.set(key, [item]);
  else pile.push(item);
}
