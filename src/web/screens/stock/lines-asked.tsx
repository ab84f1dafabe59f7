import { type ReactNode, useMemo } from 'react';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import type { CompareLinesAnswer } from '../../../verbs/compare-lines.ts';
import { wordsOf } from '../../book/change.ts';
import { type OpenClays, useClays } from '../../book/clays.ts';
import { useVerb } from '../../book/use-verb.ts';
import { useStudio } from '../../find/studio.ts';
import { recipeInWords } from '../../parts/piece-group.ts';

/** The pinch that turns one block into another, in words; undefined where none is known or needed. */
export type PinchOf = (blockId: string, twinId: string) => string | undefined;

/** What the clays say of their lines, as far as that is known. */
export interface LinesAsked {
  readonly pinchOf: PinchOf;
  /** Lines hue by hue. */
  readonly compared?: CompareLinesAnswer;
  /** What is being worked out of that. */
  readonly what?: string;
  readonly fault?: string;
}

const NOTHING: LinesAsked = { pinchOf: () => undefined };

/** Gives its children what the clays say of lines as it is found; until the clays are open that is nothing. */
export function WithLinesAsked({
  children,
}: {
  readonly children: (asked: LinesAsked) => ReactNode;
}) {
  const clays = useClays();
  return clays.state === 'open' ? <Asked clays={clays.clays}>{children}</Asked> : children(NOTHING);
}

function Asked({
  clays,
  children,
}: {
  readonly clays: OpenClays;
  readonly children: (asked: LinesAsked) => ReactNode;
}) {
  const studio = useStudio(clays);
  const question = useMemo(
    () => (studio.isPending ? undefined : { stock: studio.stock }),
    [studio.isPending, studio.stock],
  );
  const lines = useVerb(clays, studio, 'compare-lines', question);
  // A second question would end the first.
  const isOver = lines.fault !== undefined || (lines.latest?.done === true && !lines.old);
  const { latest } = useVerb(clays, studio, 'twins', isOver ? question : undefined);
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
  const compared = lines.latest?.answer;
  return children({
    pinchOf: (blockId, twinId) => words.get(`${blockId} ${twinId}`),
    ...(compared === undefined ? {} : { compared }),
    ...(isOver ? {} : { what: lines.latest?.what ?? 'Mixing the clays' }),
    ...(lines.fault === undefined ? {} : { fault: wordsOf(lines.fault) }),
  });
}
