import type { Book } from '../book.ts';

export interface TagCount {
  /** Folded: no case, no accents. */
  readonly tag: string;
  readonly mixes: number;
}

/** Tags of live mixes, the most used first. */
export async function tagsOfMixes({ index }: Book, limit: number): Promise<readonly TagCount[]> {
  await index.current();
  const counts: TagCount[] = [];
  for (const [tag, numbers] of index.words.tags()) {
    const mixes = numbers.reduce((sum, at) => (index.table.isLive(at, 'mix') ? sum + 1 : sum), 0);
    if (mixes > 0) counts.push({ tag, mixes });
  }
  return counts
    .sort((one, other) => other.mixes - one.mixes || (one.tag < other.tag ? -1 : 1))
    .slice(0, limit);
}
