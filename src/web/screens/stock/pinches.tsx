import { type ReactNode, useMemo } from 'react';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import { type OpenClays, useClays } from '../../book/clays.ts';
import { useVerb } from '../../book/use-verb.ts';
import { useStudio } from '../../find/studio.ts';
import { recipeInWords } from '../../parts/piece-group.ts';

/** The pinch that turns one block into another, in words; undefined where none is known or needed. */
export type PinchOf = (blockId: string, twinId: string) => string | undefined;

/** Gives its children the pinches as they are found; until the clays are open there are none. */
export function WithPinches({ children }: { readonly children: (pinchOf: PinchOf) => ReactNode }) {
  const clays = useClays();
  return clays.state === 'open' ? (
    <Asked clays={clays.clays}>{children}</Asked>
  ) : (
    children(() => undefined)
  );
}

function Asked({
  clays,
  children,
}: {
  readonly clays: OpenClays;
  readonly children: (pinchOf: PinchOf) => ReactNode;
}) {
  const studio = useStudio(clays);
  const question = useMemo(
    () => (studio.isPending ? undefined : { stock: studio.stock }),
    [studio.isPending, studio.stock],
  );
  const { latest } = useVerb(clays, studio, 'twins', question);
  const words = useMemo(
    () =>
      new Map(
        latest?.answer?.twins.flatMap(({ clay, pinch }) => {
          const blockId = studio.byName.get(clay)?.blockId;
          if (pinch === null || blockId === undefined) return [];
          const twinId = studio.byName.get(pinch.recipe[0].clay)?.blockId;
          const head = verdictHead(verdictWord(pinch.dE00)).toLowerCase();
          return [[`${blockId} ${twinId}`, `${recipeInWords(pinch.recipe)}: ${head}`] as const];
        }) ?? [],
      ),
    [latest?.answer, studio.byName],
  );
  return children((blockId, twinId) => words.get(`${blockId} ${twinId}`));
}
