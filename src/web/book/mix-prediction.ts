import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../core/colour/triples.ts';
import type { ResolvedMix } from '../../core/mixes/resolve-mix.ts';
import type { MixParts } from '../../domain/mix-graph-of-book.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from './clays.ts';
import { useColoursOf } from './colours.ts';
import { useResolvedMix } from './resolved-mix.ts';

export interface MixShown {
  readonly lab: Lab;
  /** 3 x 3 by rows; absent of a colour that was only saved. */
  readonly covariance?: readonly number[];
  readonly plusMinus?: number;
}

export interface PredictionHere {
  readonly predicted: MixShown | undefined;
  readonly isPending: boolean;
}

/**
 * What the clays of today predict of a mix, through the mixes in it; else the colour the book has, or
 * had when the mix was saved. Powders are left out.
 */
export function useMixPrediction(mix: RecordOf<'mix'>): PredictionHere {
  const now = usePartsPrediction(mix.body);
  const saved = useColoursOf([mix.id]);
  if (now.predicted !== undefined || now.isPending) return now;
  const shown = saved.shown(mix.id);
  const lab = shown !== undefined && shown.from !== 'tile' ? shown.lab : mix.body.predicted?.lab;
  return {
    predicted: lab === undefined ? undefined : { lab },
    isPending: lab === undefined && saved.isPending,
  };
}

/** What the clays of today predict of some parts, saved as a mix or not. */
export function usePartsPrediction(mix: MixParts): PredictionHere {
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const resolved = useResolvedMix(mix, open?.worker.basis);
  const blocks = resolved.found?.status === 'resolved' ? resolved.found.blocks : undefined;
  const shares = blocks === undefined ? undefined : sharesOf(blocks, open);
  const { data, isPending } = useQuery({
    queryKey: ['clays', 'parts', open?.modelId ?? 'rough', shares],
    enabled: open !== undefined && shares !== undefined,
    queryFn: () => open!.worker.predict(shares!),
  });
  const waits =
    clays.state === 'opening' ||
    (open !== undefined && (resolved.isPending || (shares !== undefined && isPending)));
  return { predicted: data, isPending: waits };
}

function sharesOf(
  blocks: ResolvedMix['blocks'],
  open: Extract<ReturnType<typeof useClays>, { state: 'open' }>['clays'] | undefined,
) {
  const known = blocks.flatMap(({ id, share }) => {
    const clay = open?.byBlock.get(id);
    return clay === undefined ? [] : [{ clay: clay.clay, parts: share }];
  });
  return known.length === blocks.length && known.length > 0 ? known : undefined;
}
