import { useMemo } from 'react';
import { clayNames } from '../../domain/clay-names.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useAll } from './queries.ts';

/** What people call each block, and its line. */
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
    const names = clayNames(blocks.records, lines.byId);
    const nameOf = (id: string) => names.get(id) ?? 'a deleted block';
    return { nameOf, lineOf };
  }, [blocks.byId, blocks.records, lines.byId]);
}

/** What people call a mix. */
export function titleOfMix({ body }: RecordOf<'mix'>): string {
  return body.name ?? body.code ?? 'a mix';
}
