import { useQueries } from '@tanstack/react-query';
import { useMemo } from 'react';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookRecord, RecordOf } from '../../domain/records/record.ts';
import { client } from '../book/client.ts';
import { useBlockNames } from '../book/names.ts';
import { getMany, useAll } from '../book/queries.ts';
import { type Target, targetOf, wordsToLookUp } from './match-code.ts';
import type { State } from './photo-session-store.ts';

export interface TargetOfRow {
  readonly target: Target;
  /** Readings the book has of the tile, where it has the tile. */
  readonly earlier: readonly RecordOf<'reading'>[];
  readonly isPending: boolean;
}

interface LookedUp {
  readonly records: readonly BookRecord[];
  readonly readings: readonly RecordOf<'reading'>[];
}

/** What the text of each tile means; looked up word by word, so that a large book stays fast. */
export function useTargets(
  asked: readonly {
    readonly text: string;
    readonly state: State;
    /** The tile that this text was saved as, when it was raw. */
    readonly tileId?: string | undefined;
  }[],
): readonly TargetOfRow[] {
  const blocks = useAll('block');
  const { nameOf } = useBlockNames();
  const looked = useQueries({
    queries: asked.map(({ text, tileId }) => ({
      queryKey: ['mixes', 'by words of a tile', text, tileId],
      queryFn: () => lookUp(text, tileId),
      enabled: text.trim() !== '',
    })),
  });
  const stamps = looked.map(({ dataUpdatedAt }) => dataUpdatedAt).join();
  // biome-ignore lint/correctness/useExhaustiveDependencies: the answers are new only with their stamps
  return useMemo(
    () =>
      asked.map(({ text, state, tileId: rawId }, i) => {
        const { records = [], readings = [] } = looked[i].data ?? {};
        const target = targetOf(text, state, {
          ...(rawId === undefined ? {} : { rawId }),
          blocks: blocks.records,
          nameOfBlock: nameOf,
          mixes: ofKind(records, 'mix'),
          tiles: ofKind(records, 'tile'),
          isRead: (id, was) => readings.some(({ body }) => body.of.id === id && body.state === was),
        });
        const tileId = target.is === 'tile' ? target.tile.id : undefined;
        return {
          target,
          earlier: readings.filter(({ body }) => body.of.id === tileId),
          isPending: blocks.isPending || (text.trim() !== '' && looked[i].isPending),
        };
      }),
    [JSON.stringify(asked), stamps, blocks.records, nameOf],
  );
}

const MOST = 20;

async function lookUp(text: string, tileId: string | undefined): Promise<LookedUp> {
  const found = await Promise.all(
    wordsToLookUp(text).map(async (word) => {
      const { body } = await client.call('search', {
        query: { text: word.slice(0, 200), kind: ['mix', 'tile'], limit: MOST },
      });
      return body.records;
    }),
  );
  if (tileId !== undefined) found.push([...(await getMany([tileId])).values()]);
  const records = [...new Map(found.flat().map((one) => [one.id, one])).values()];
  const readings = await Promise.all(
    ofKind(records, 'tile').map(async ({ id }) => {
      const { body } = await client.call('listRecords', {
        query: { kind: 'reading', uses: id, limit: 100 },
      });
      return ofKind(body.records, 'reading');
    }),
  );
  return { records, readings: readings.flat() };
}
