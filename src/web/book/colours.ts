import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { ApiAnswer } from '../../api/routes.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { ReadingKind } from '../../domain/records/reading-kind.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { client } from './client.ts';

/** A colour of a block, mix or tile, and how it is known. */
export interface KnownColour {
  readonly lab: Lab;
  readonly readingKind: ReadingKind;
  readonly state: 'raw' | 'baked';
  readonly spread: number;
  readonly readingId: string;
  readonly photoId?: string;
}

/** The colour shown of a thing, and what it comes from. */
export interface ShownColour {
  readonly lab: Lab;
  /** A reading, the newest clay model, or the clay model of when the mix was saved. */
  readonly from: 'tile' | 'now' | 'saved';
}

export interface KnownColours {
  /** The best colour that was read; baked before raw. */
  of(id: string): KnownColour | undefined;
  /** The colour to show: what was read, else what is predicted. */
  shown(id: string): ShownColour | undefined;
  readonly isPending: boolean;
}

/** Colours of all blocks that were measured: few, however many mixes there are. */
export function useColours(): KnownColours {
  return useKnown(undefined);
}

/** Colours of the given blocks, mixes and tiles, in one call; at most 200. */
export function useColoursOf(ids: readonly string[]): KnownColours {
  return useKnown(ids);
}

/** Wait before the book is asked again for colours that it is still predicting. */
const ASK_AGAIN_MS = 500;

export function coloursQuery(asked?: string[]) {
  return {
    queryKey: ['colours', asked ?? 'blocks'],
    queryFn: async () => {
      const query = asked === undefined ? {} : { of: asked };
      return (await client.call('colours', { query })).body;
    },
    refetchInterval: ({
      state,
    }: {
      readonly state: { readonly data: ApiAnswer<'colours'> | undefined };
    }) => (state.data?.computing === true ? ASK_AGAIN_MS : false),
  };
}

function useKnown(ids: readonly string[] | undefined): KnownColours {
  const asked = ids === undefined ? undefined : [...new Set(ids)].sort();
  const { data, isPending, error } = useQuery({
    ...coloursQuery(asked),
    enabled: asked === undefined || asked.length > 0,
  });
  if (error !== null && data === undefined) throw error;
  const waits = isPending && asked?.length !== 0;
  return useMemo(() => {
    const read = new Map(data?.colours.map(({ id, ...known }) => [id, known as KnownColour]));
    const shown = new Map<string, ShownColour>(
      data?.predicted.map(({ id, lab, when }) => [id, { lab, from: when }]),
    );
    for (const [id, { lab }] of read) shown.set(id, { lab, from: 'tile' });
    return { of: (id) => read.get(id), shown: (id) => shown.get(id), isPending: waits };
  }, [data, waits]);
}

export interface Samples {
  /** The newest first. */
  readonly tiles: readonly RecordOf<'tile'>[];
  /** Of the block or mix and its tiles, the most certain first. */
  readonly readings: readonly RecordOf<'reading'>[];
  readonly isPending: boolean;
}

const NONE = { tiles: [], readings: [] };

/** Tiles and readings of one block or mix; none of what has no id. */
export function useSamples(id: string | undefined): Samples {
  const { data, isPending } = useQuery({
    queryKey: ['samples', id],
    queryFn: async () => {
      const { tiles, readings } = (await client.call('samples', { params: { id: id! } })).body;
      return { tiles: ofKind(tiles, 'tile'), readings: ofKind(readings, 'reading') };
    },
    enabled: id !== undefined,
  });
  return { ...(data ?? NONE), isPending: id !== undefined && isPending };
}
