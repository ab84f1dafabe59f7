import { useMemo } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { useAll } from './queries.ts';

/** Blocks as they are spoken of: by name, and by line where two have one name. */
export function useBlockNames(): {
  readonly nameOf: (id: string) => string;
  readonly lineOf: (id: string) => string;
} {
  const blocks = useAll('block');
  const lines = useAll('line');
  return useMemo(() => {
    const lineOf = (id: string) => {
      const block = blocks.byId.get(id);
      return block === undefined ? '' : (lines.byId.get(block.body.lineId)?.body.name ?? '');
    };
    const counts = new Map<string, number>();
    for (const { body } of blocks.records) {
      const key = body.name.toLowerCase();
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    const nameOf = (id: string) => {
      const block = blocks.byId.get(id);
      if (block === undefined) return 'a block no longer there';
      const twice = (counts.get(block.body.name.toLowerCase()) ?? 0) > 1;
      return twice ? `${lineOf(id)} ${block.body.name}` : block.body.name;
    };
    return { nameOf, lineOf };
  }, [blocks.byId, blocks.records, lines.byId]);
}

/** A mix as it is spoken of. */
export function titleOfMix({ body }: RecordOf<'mix'>): string {
  return body.name ?? body.code ?? 'a mix';
}
