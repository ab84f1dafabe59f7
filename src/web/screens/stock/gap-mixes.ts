import { useQuery } from '@tanstack/react-query';
import { type HueGap, hueGaps } from '../../../core/colour/hue-gaps.ts';
import { lchFromLab } from '../../../core/colour/spaces.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import type { OpenClays } from '../../book/clays.ts';

/** A narrower gap can be bridged by mixing its two ends without losing much (common practice). */
const WIDE_DEGREES = 35;
const MOST_GAPS = 3;
/** A smaller loss of chroma is hardly seen (common practice). */
const SEEN_CHROMA = 3;

/** A block with its colour. */
export interface BlockOnRing {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab;
}

/** The widest gaps between the hues of some blocks. */
export function gapsOf(blocks: readonly BlockOnRing[]): readonly HueGap[] {
  const labs = blocks.map(({ lab }) => lab);
  return hueGaps(labs, WIDE_DEGREES).slice(0, MOST_GAPS);
}

/** What a mix of the two ends of each gap is predicted to look like, half and half; undefined while unknown. */
export function useGapMixes(
  open: OpenClays | undefined,
  blocks: readonly BlockOnRing[],
  gaps: readonly HueGap[],
): readonly (Lab | undefined)[] {
  const pairs = gaps.map(({ before, after }) =>
    [blocks[before], blocks[after]].map(({ id }) => open?.byBlock.get(id)?.clay),
  );
  const { data } = useQuery({
    queryKey: ['clays', 'gap mixes', open?.modelId ?? '', pairs],
    queryFn: () =>
      Promise.all(
        pairs.map(async ([one, other]) => {
          if (one === undefined || other === undefined || one === other) return undefined;
          const parts = [one, other].map((clay) => ({ clay, parts: 1 }));
          return (await open!.worker.predict(parts)).lab;
        }),
      ),
    enabled: open !== undefined && pairs.length > 0,
  });
  return data ?? gaps.map(() => undefined);
}

/** What becomes of the two ends of a gap: "Mixed 1 : 1 they come out duller than either." */
export function gapMixInWords(ends: readonly [Lab, Lab], mix: Lab | undefined): string {
  if (mix === undefined) return '';
  const [one, other] = ends.map((lab) => lchFromLab(lab)[1]) as [number, number];
  const [, chroma] = lchFromLab(mix);
  if (chroma < Math.min(one, other) - SEEN_CHROMA) {
    return ' Mixed 1 : 1, they come out duller than either.';
  }
  return chroma > Math.max(one, other) + SEEN_CHROMA
    ? ' Mixed 1 : 1, they come out brighter than either.'
    : ' Mixed 1 : 1, they stay about as bright.';
}
