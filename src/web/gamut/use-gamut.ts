import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../core/colour/triples.ts';
import type { OpenClays } from '../book/clays.ts';

/** Colours of mixes of two and three clays; worked out once for each set of clays. */
export function useGamut(open: OpenClays, clays: readonly number[]): readonly Lab[] | undefined {
  const { data } = useQuery({
    queryKey: ['clays', 'gamut', open.modelId ?? 'rough', clays],
    queryFn: () => (clays.length === 0 ? [] : open.worker.reach(clays)),
  });
  return data;
}
