import { useMemo } from 'react';
import { KNOTS } from '../../../core/strength/strength-terms.ts';
import { sharesByLine } from '../../../domain/handling-notes.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useLocalStorage } from '../../book/local-storage-state.ts';
import { useAll } from '../../book/queries.ts';
import { useHoldSubject } from '../strength/hold-subject.ts';
import { FIRST_PART, isPartAsked } from '../strength/part-asked.ts';
import { questionOfPart } from '../strength/part-question.ts';
import { useStrength } from '../strength/use-strength.ts';

/** What bend tests say of the share of the strong line in a mix. */
export interface StrongShare {
  readonly lineId: string;
  readonly line: string;
  /** Share of it in the mix, and the share that the part needs, 0-1. */
  readonly now: number;
  readonly least: number;
  /** No share is proven: this is the next one worth a test. */
  readonly isGuess: boolean;
  /** The shape that must hold, and in how many of ten. */
  readonly part: string;
  readonly wanted: number;
}

/** The share of the strong line that a mix needs; undefined where no bend test says one. */
export function useStrongShare(mix: RecordOf<'mix'>): StrongShare | undefined {
  const tests = useAll('bend-test').records;
  const blocks = useAll('block').records;
  const lines = useAll('line').records;
  const mixes = useAll('mix').records;
  const { subject, isPending } = useHoldSubject();
  const [part] = useLocalStorage('part that must hold', FIRST_PART, isPartAsked);
  const ask = useMemo(
    () =>
      isPending || !tests.some(({ body }) => body.result !== undefined)
        ? undefined
        : ({ verb: 'hold', subject, question: questionOfPart(part, tests) } as const),
    [isPending, subject, part, tests],
  );
  const { answer } = useStrength(ask);
  const strong = answer?.pair?.strong;
  const line = lines.find(({ body }) => body.name === strong);
  const now = useMemo(
    () =>
      sharesByLine({ blocks, lines, mixes })(mix.id).find((one) => one.line === strong)?.share ?? 0,
    [blocks, lines, mixes, mix.id, strong],
  );
  if (answer === undefined || line === undefined) return undefined;
  // Without a proven share, the next step up is worth a test.
  const least = answer.least ?? KNOTS.find((knot) => knot > now + 0.01);
  if (least === undefined) return undefined;
  return {
    lineId: line.id,
    line: line.body.name,
    now,
    least,
    isGuess: answer.least === undefined,
    part: part.shape,
    wanted: part.wanted,
  };
}
