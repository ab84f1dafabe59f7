import type { MixResolver } from '../core/mixes/resolve-mix.ts';
import { mixResolver } from '../core/mixes/resolve-mix.ts';
import type { HandlingNote } from '../core/strength/handling.ts';
import { mixGraphOf } from './mix-graph-of-book.ts';
import type { RecordOf } from './records/record.ts';

/** What the shares of lines are worked out from. */
export interface LinesOfMixes {
  readonly blocks: readonly RecordOf<'block'>[];
  readonly lines: readonly RecordOf<'line'>[];
  readonly mixes: readonly RecordOf<'mix'>[];
}

/** Share of each line in a mix, by the line's name; none where the mix cannot be resolved. */
export type SharesByLine = (mixId: string) => HandlingNote['shares'];

export function sharesByLine({ blocks, lines, mixes }: LinesOfMixes): SharesByLine {
  const lineById = new Map(lines.map((line) => [line.id, line]));
  const resolver: MixResolver = mixResolver(mixGraphOf({ blocks, lines: lineById, mixes }));
  const lineOf = new Map(
    blocks.map(({ id, body }) => [id, lineById.get(body.lineId)?.body.name ?? body.lineId]),
  );
  return (mixId) => {
    const found = resolver.resolve(mixId);
    if (found.status !== 'resolved') return [];
    const shares = new Map<string, number>();
    for (const { id, share } of found.blocks) {
      const line = lineOf.get(id) ?? id;
      shares.set(line, (shares.get(line) ?? 0) + share);
    }
    return [...shares].map(([line, share]) => ({ line, share }));
  };
}

/** Notes on how mixes handled, with the shares of their lines. */
export function handlingNotes(
  notes: readonly RecordOf<'note'>[],
  shares: SharesByLine,
): readonly HandlingNote[] {
  return notes.flatMap(({ body: { of, feels, done } }) => {
    if (of.kind !== 'mix') return [];
    const own = shares(of.id);
    return own.length === 0 ? [] : [{ shares: own, feels, done }];
  });
}
