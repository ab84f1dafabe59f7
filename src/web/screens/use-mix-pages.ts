import { useInfiniteQuery } from '@tanstack/react-query';
import { useCallback, useEffect, useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import { client } from '../book/client.ts';

export type MixSort = 'changed' | 'code' | 'name';

export interface MixPages {
  readonly total: number;
  readonly isPending: boolean;
  readonly fault: Error | null;
  readonly at: (index: number) => RecordOf<'mix'> | undefined;
  /** Fetches on until these places are there. */
  readonly want: (from: number, to: number) => void;
}

const PAGE = 500;
const FOUND_PAGE = 200;

/** Mixes of the book in one order, or those that answer to words, fetched as far as they are seen. */
export function useMixPages(ask: {
  readonly sort: MixSort;
  readonly text: string;
  readonly tag: string;
}): MixPages {
  const { sort, text, tag } = ask;
  const [wanted, setWanted] = useState(0);
  const { data, isPending, error, hasNextPage, isFetchingNextPage, fetchNextPage } =
    useInfiniteQuery({
      queryKey: ['mixes', sort, text, tag],
      initialPageParam: '',
      queryFn: async ({ pageParam }) => {
        if (text !== '') {
          const offset = Number(pageParam || 0);
          const { body } = await client.call('search', {
            query: { text, kind: ['mix'], limit: FOUND_PAGE, offset },
          });
          const next = offset + body.records.length;
          const more = body.records.length > 0 && next < body.total;
          return { ...body, ...(more ? { cursor: String(next) } : {}) };
        }
        const { body } = await client.call('listRecords', {
          query: {
            kind: 'mix',
            sort,
            limit: PAGE,
            ...(sort === 'changed' ? { descending: 'true' as const } : {}),
            ...(tag === '' ? {} : { tag }),
            ...(pageParam === '' ? {} : { cursor: pageParam }),
          },
        });
        return body;
      },
      getNextPageParam: (page: { readonly cursor?: string }) => page.cursor,
    });
  const held = data?.pages.reduce((sum, { records }) => sum + records.length, 0) ?? 0;
  useEffect(() => {
    if (held < wanted && hasNextPage && !isFetchingNextPage) void fetchNextPage();
  }, [held, wanted, hasNextPage, isFetchingNextPage, fetchNextPage]);
  const size = text === '' ? PAGE : FOUND_PAGE;
  const at = useCallback(
    (index: number) =>
      data?.pages[Math.floor(index / size)]?.records[index % size] as RecordOf<'mix'> | undefined,
    [data, size],
  );
  const want = useCallback((_: number, to: number) => setWanted(to), []);
  return { total: data?.pages[0]?.total ?? 0, isPending, fault: error, at, want };
}
