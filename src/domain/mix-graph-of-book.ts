import type { MixGraph, MixNode } from '../core/mixes/mix-graph.ts';
import { type MixResolver, mixResolver, type ResolvedMix } from '../core/mixes/resolve-mix.ts';
import { densityOfBlock } from './clay-of-block.ts';
import { ofKind } from './records/of-kind.ts';
import type { BodyOf, BookRecord, RecordOf } from './records/record.ts';

/** What counts of a mix when it is resolved: a body of a mix, or parts that were never saved as one. */
export type MixParts = Pick<BodyOf<'mix'>, 'basis' | 'parts' | 'powders'>;

/** Records by id, from a store, a server or what a page holds already. */
export type GetMany = (ids: readonly string[]) => Promise<ReadonlyMap<string, BookRecord>>;

/** A mix of the book, or parts without a record, as the graph counts it. */
export function mixNode({ basis, parts, powders }: MixParts): MixNode {
  return {
    basis,
    parts: parts.map((part) => ({ clay: part.of.id, parts: part.parts })),
    ...(powders === undefined || powders.length === 0
      ? {}
      : { powders: powders.map(({ powderId, share }) => ({ powder: powderId, share })) }),
  };
}

/**
 * The mixes and blocks of a book as one graph: basis, powders, and densities with those of the lines
 * where a block has none. Every composition the book tells comes from here.
 */
export function mixGraphOf(records: {
  readonly blocks: Iterable<Pick<RecordOf<'block'>, 'id' | 'body'>>;
  readonly lines: ReadonlyMap<string, Pick<RecordOf<'line'>, 'body'>>;
  readonly mixes: Iterable<Pick<RecordOf<'mix'>, 'id' | 'body'>>;
}): MixGraph {
  const { blocks, lines, mixes } = records;
  return {
    blocks: new Map(
      [...blocks].map(({ id, body }) => [id, densityOfBlock(body, lines.get(body.lineId)?.body)]),
    ),
    mixes: new Map([...mixes].map(({ id, body }) => [id, mixNode(body)])),
  };
}

/** A part of the book that some mixes need, and the records it was made from. */
export interface ResolverOfBook {
  readonly resolver: MixResolver;
  readonly records: ReadonlyMap<string, BookRecord>;
}

/**
 * A resolver for some mixes of a book, which fetches only what they are made of.
 * Shape:   ids of mixes and blocks -> a resolver that knows these, and all that is in them
 */
export async function resolverFor(
  getMany: GetMany,
  ids: Iterable<string>,
): Promise<ResolverOfBook> {
  const records = new Map<string, BookRecord>();
  const fetch = async (wanted: Iterable<string>) => {
    const missing = [...new Set(wanted)].filter((id) => !records.has(id));
    if (missing.length === 0) return [];
    const found = [...(await getMany(missing)).values()];
    for (const record of found) records.set(record.id, record);
    return found;
  };
  for (let found = await fetch(ids); found.length > 0; ) {
    found = await fetch(
      found.flatMap((one) => (one.kind === 'mix' ? one.body.parts.map(({ of }) => of.id) : [])),
    );
  }
  await fetch(ofKind(records.values(), 'block').map(({ body }) => body.lineId));
  const graph = mixGraphOf({
    blocks: ofKind(records.values(), 'block'),
    lines: new Map(ofKind(records.values(), 'line').map((line) => [line.id, line])),
    mixes: ofKind(records.values(), 'mix'),
  });
  return { resolver: mixResolver(graph), records };
}

/** A resolved mix as parts of blocks: the smallest whole parts where those are exact numbers, else shares. */
export function partsOfBlocks({
  blocks,
  whole,
}: ResolvedMix): readonly { readonly blockId: string; readonly parts: number }[] {
  const exact = whole?.parts.every((parts) => parts <= MOST_WHOLE) ? whole.parts : undefined;
  return blocks.map(({ id, share }, i) => ({
    blockId: id,
    parts: exact === undefined ? share : Number(exact[i]),
  }));
}

/** Past it a whole part says no more than a share, and is harder to read. */
const MOST_WHOLE = 1_000_000n;
