import type { MixNode } from '../../core/mixes/mix-graph.ts';
import { densityOfBlock } from '../../domain/clay-of-block.ts';
import { mixNode } from '../../domain/mix-graph-of-book.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import type { NumberedRecords } from '../book-index.ts';
import type { BookReads } from '../ports.ts';

/** Recipes of all live mixes and densities of all live blocks, in memory, true to every change. */
export interface RecipeIndex {
  readonly mixes: ReadonlyMap<string, MixNode>;
  densityGPerCm3(block: string): number | undefined;
}

/** Records read in one go, so that others get a turn between. */
const PAGE = 1000;

/**
 * Reads the recipes when they are first asked for: whoever never asks what stock allows pays nothing.
 */
export function recipeIndex(
  reads: Pick<BookReads, 'getMany'>,
  index: NumberedRecords & { readonly ready: Promise<void> },
): () => Promise<RecipeIndex> {
  const mixes = new Map<string, MixNode>();
  const blocks = new Map<string, RecordOf<'block'>['body']>();
  const lines = new Map<string, RecordOf<'line'>['body']>();
  let read: Promise<void> | undefined;

  index.follow((_, rows) => {
    if (read === undefined) return;
    for (const { after } of rows) take(after);
  });
  const shelf: RecipeIndex = {
    mixes,
    densityGPerCm3(id) {
      const block = blocks.get(id);
      if (block === undefined) return undefined;
      return densityOfBlock(block, lines.get(block.lineId)).density?.value;
    },
  };
  return async () => {
    read ??= load();
    await read;
    return shelf;
  };

  async function load(): Promise<void> {
    await index.ready;
    const ids: string[] = [];
    for (let number = 0; number < index.size; number++) {
      const row = index.rowAt(number);
      if (row?.live === true && ['mix', 'block', 'line'].includes(row.kind)) ids.push(row.id);
    }
    for (let from = 0; from < ids.length; from += PAGE) {
      const found = await reads.getMany(ids.slice(from, from + PAGE));
      for (const record of found.values()) take(record);
      await new Promise((resolve) => setImmediate(resolve));
    }
  }

  function take(record: BookRecord): void {
    const { id, kind, body } = record;
    const live = record.deletedAt === undefined;
    if (kind === 'mix') {
      if (live) mixes.set(id, mixNode(body));
      else mixes.delete(id);
    } else if (kind === 'block') blocks.set(id, body);
    else if (kind === 'line') lines.set(id, body);
  }
}
