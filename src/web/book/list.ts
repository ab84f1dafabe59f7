import { useQueries, useQueryClient } from '@tanstack/react-query';
import { useCallback, useEffect, useMemo, useState } from 'react';
import type { MixFilter } from '../../domain/records/mix-filters.ts';
import { refreshLists, useOpenings } from './lists-open.ts';

/** Rows of a list from one place on, as the book gives them. */
export interface ListPart<R> {
  readonly sheet: string;
  readonly total: number;
  readonly rows: readonly R[];
  readonly behind: boolean;
  readonly without?: readonly { readonly leave: MixFilter; readonly total: number }[];
}

export interface ListAsk<R> {
  /** Query key: first words that a change of the book invalidates, then the question. */
  readonly key: readonly unknown[];
  readonly ask: (place: {
    readonly sheet?: string;
    readonly from: number;
    readonly limit: number;
  }) => Promise<ListPart<R>>;
  /** The row the user saw last. */
  readonly startAt?: number;
}

export interface ListHere<R> {
  /** Undefined until the first rows have come. */
  readonly total: number | undefined;
  readonly fault: Error | null;
  readonly at: (index: number) => R | undefined;
  /** Tells which places are in sight now. */
  readonly want: (from: number, to: number) => void;
  /** The book was changed elsewhere since the list was made. */
  readonly behind: boolean;
  readonly refresh: () => void;
  readonly without: ListPart<R>['without'];
}

/** Rows per call, more than fit on a screen, so that scrolling takes few calls. */
export const ROWS = 120;
/** Places scrolled past within this time are never fetched. */
const PASSING_MS = 70;
/** Rows out of sight stay cached for so long. */
const KEPT_MS = 600_000;

/**
 * A list of the book of which only the rows in sight are fetched. Its order stays until this page
 * changes the book or refreshes the list; the content of the rows follows the book.
 */
export function useList<R>({ key, ask, startAt = 0 }: ListAsk<R>): ListHere<R> {
  const openings = useOpenings();
  const client = useQueryClient();
  const name = JSON.stringify([key, openings]);
  const start = Math.floor(startAt / ROWS);
  const [sight, setSight] = useState({ name, from: start, to: start });
  const seen = sight.name === name ? sight : { name, from: start, to: start };
  // The first call gives the list its name; later calls use it, also after coming back.
  const named = () =>
    client
      .getQueriesData<ListPart<R>>({ queryKey: [...key, openings] })
      .find(([, data]) => data !== undefined)?.[1]?.sheet;
  const isNamed = named() !== undefined;
  const parts = useMemo(
    () => Array.from({ length: seen.to - seen.from + 1 }, (_, i) => seen.from + i),
    [seen.from, seen.to],
  );
  const found = useQueries({
    queries: parts.map((part) => ({
      queryKey: [...key, openings, part],
      gcTime: KEPT_MS,
      enabled: isNamed || part === parts[0],
      queryFn: async ({ signal }: { signal: AbortSignal }) => {
        const sheet = named();
        if (sheet !== undefined) await passing(signal);
        const place = { from: part * ROWS, limit: ROWS };
        const got = await inTurn(signal, () =>
          ask(sheet === undefined ? place : { ...place, sheet }),
        );
        // The list expired meanwhile: rows of another order must not be mixed with these.
        if (sheet !== undefined && got.sheet !== sheet) refreshLists();
        return got;
      },
    })),
  });
  const any = found.find(({ data }) => data !== undefined)?.data;
  const firstPart = parts[0];
  const at = useCallback(
    (index: number): R | undefined => {
      const part = Math.floor(index / ROWS);
      const here =
        found[part - firstPart]?.data ??
        client.getQueryData<ListPart<R>>([...key, openings, part]) ??
        client.getQueryData<ListPart<R>>([...key, openings - 1, part]);
      return here?.rows[index % ROWS];
    },
    [found, firstPart, client, key, openings],
  );
  const want = useCallback(
    (from: number, to: number) => {
      const next = {
        name,
        from: Math.floor(from / ROWS),
        to: Math.max(Math.floor(from / ROWS), Math.floor((to - 1) / ROWS)),
      };
      setSight((now) =>
        now.name === name && now.from === next.from && now.to === next.to ? now : next,
      );
    },
    [name],
  );
  const before = useBefore(any?.total, key);
  return {
    total: any?.total ?? before,
    fault: found.find(({ error }) => error !== null)?.error ?? null,
    at,
    want,
    behind: found.some(({ data }) => data?.behind === true),
    refresh: refreshLists,
    without: any?.without,
  };
}

/** The last known total of the same question, while it is fetched again. */
function useBefore(total: number | undefined, key: readonly unknown[]): number | undefined {
  const name = JSON.stringify(key);
  const [last, setLast] = useState<{ readonly name: string; readonly total: number }>();
  useEffect(() => {
    if (total !== undefined) setLast({ name, total });
  }, [total, name]);
  return last?.name === name ? last.total : undefined;
}

/** Calls at once: however fast the user scrolls, the book is asked no faster than it answers. */
const AT_ONCE = 2;
let onTheirWay = 0;
const waiting: (() => void)[] = [];

/** Places that went out of sight before their turn came are never fetched. */
async function inTurn<T>(signal: AbortSignal, work: () => Promise<T>): Promise<T> {
  if (onTheirWay >= AT_ONCE) await new Promise<void>((resolve) => waiting.push(resolve));
  else onTheirWay++;
  try {
    signal.throwIfAborted();
    return await work();
  } finally {
    const next = waiting.shift();
    if (next === undefined) onTheirWay--;
    else next();
  }
}

function passing(signal: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(resolve, PASSING_MS);
    signal.addEventListener('abort', () => {
      clearTimeout(timer);
      reject(signal.reason);
    });
  });
}
