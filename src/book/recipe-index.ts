import type { BlockNode, MixNode } from '../core/mixes/mix-graph.ts';
import { densityOfBlock } from '../domain/clay-of-block.ts';
import { mixNode } from '../domain/mix-graph-of-book.ts';
import type { BodyOf, BookKind, BookRecord, RecordOf } from '../domain/records/record.ts';
import type { BookIndex } from './book-index.ts';
import type { BodyRow, BookReads, IndexPlace } from './ports.ts';

/** Recipes of all live mixes and the densities of their blocks, in memory, true to every change. */
export interface RecipeIndex {
  readonly mixes: Pick<ReadonlyMap<string, MixNode>, 'get' | 'has'>;
  /** A block with its density, its own or that of its line. */
  block(id: string): BlockNode | undefined;
  densityGPerCm3(block: string): number | undefined;
}

/** Records read in one go, so that others get a turn between. */
const PAGE = 1000;

/**
 * Reads the recipes when they are first asked for. A recipe is a few numbers in one long list: who names
 * what is by number of the index, and a mix becomes a `MixNode` when somebody looks at it.
 */
export function recipeIndex(
  reads: Pick<BookReads, 'bodies'>,
  index: BookIndex,
): () => Promise<RecipeIndex> {
  const { table } = index;
  /** Where the parts of a mix begin in `clays` and `counts`, and how many there are, by its number. */
  const begins: number[] = [];
  const clays: number[] = [];
  const counts: number[] = [];
  const weighed = new Set<number>();
  const powders = new Map<number, NonNullable<MixNode['powders']>>();
  const blocks = new Map<string, RecordOf<'block'>['body']>();
  const lines = new Map<string, RecordOf<'line'>['body']>();
  let read: Promise<void> | undefined;

  index.follow((_, rows) => {
    if (read !== undefined) for (const { after } of rows) take(after);
  });
  const recipes: RecipeIndex = {
    mixes: { get, has: (id) => beginOf(id) !== undefined },
    block,
    densityGPerCm3: (id) => block(id)?.density?.value,
  };
  return async () => {
    read ??= load();
    await read;
    return recipes;
  };

  function block(id: string): BlockNode | undefined {
    const body = blocks.get(id);
    return body === undefined ? undefined : densityOfBlock(body, lines.get(body.lineId));
  }

  async function load(): Promise<void> {
    await index.current();
    await readAll('line', (id, body) => lines.set(id, body));
    await readAll('block', (id, body) => blocks.set(id, body));
    await readAll('mix', takeMix);
  }

  /** In the order in which the records are on the disk. */
  async function readAll<K extends BookKind>(
    kind: K,
    hand: (id: string, body: BodyOf<K>) => void,
  ): Promise<void> {
    for (let after: IndexPlace | undefined; ; ) {
      const rows: readonly BodyRow<K>[] = await reads.bodies(kind, after, PAGE);
      for (const { id, body } of rows) hand(id, body);
      if (rows.length < PAGE) return;
      after = rows.at(-1);
      await new Promise((resolve) => setImmediate(resolve));
    }
  }

  function take(record: BookRecord): void {
    const { id, kind, body } = record;
    if (kind === 'block') blocks.set(id, body);
    else if (kind === 'line') lines.set(id, body);
    else if (kind === 'mix') takeMix(id, body);
  }

  function takeMix(id: string, body: RecordOf<'mix'>['body']): void {
    const number = table.numberOf(id);
    if (number === undefined) return;
    const { basis, parts, powders: own } = mixNode(body);
    const of = parts.map(({ clay }) => table.numberOf(clay));
    // A newer change of the same mix follows, or a clay of it is gone for good.
    if (of.includes(undefined)) return;
    // What an older recipe took up stays unused; an edit is a few numbers.
    begins[number] = clays.length;
    clays.push(parts.length, ...(of as number[]));
    counts.push(0, ...parts.map((part) => part.parts));
    if (basis === 'weight') weighed.add(number);
    else weighed.delete(number);
    if (own === undefined) powders.delete(number);
    else powders.set(number, own);
  }

  function beginOf(id: string): number | undefined {
    const number = table.numberOf(id);
    return number !== undefined && table.isLive(number, 'mix') ? begins[number] : undefined;
  }

  function get(id: string): MixNode | undefined {
    const begin = beginOf(id);
    if (begin === undefined) return undefined;
    const number = table.numberOf(id)!;
    const parts = [];
    for (let at = begin + 1; at <= begin + clays[begin]; at++) {
      parts.push({ clay: table.idAt(clays[at]), parts: counts[at] });
    }
    const own = powders.get(number);
    return {
      basis: weighed.has(number) ? 'weight' : 'volume',
      parts,
      ...(own === undefined ? {} : { powders: own }),
    };
  }
}
