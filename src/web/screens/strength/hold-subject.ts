import { useMemo } from 'react';
import { handlingNotes, sharesByLine } from '../../../domain/handling-notes.ts';
import type { HoldSubject } from '../../../verbs/hold.ts';
import { useAll } from '../../book/queries.ts';

/** Every bend test of the book with the names of its lines, and how its mixes handled. */
export function useHoldSubject(): { readonly subject: HoldSubject; readonly isPending: boolean } {
  const tests = useAll('bend-test');
  const lines = useAll('line');
  const notes = useAll('note');
  const blocks = useAll('block');
  const mixes = useAll('mix');
  const isPending = [tests, lines, notes, blocks, mixes].some((one) => one.isPending);
  const subject = useMemo<HoldSubject>(() => {
    const noted = notes.records.filter(({ body }) => body.of.kind === 'mix');
    return {
      handling:
        noted.length === 0
          ? []
          : handlingNotes(
              noted,
              sharesByLine({ blocks: blocks.records, lines: lines.records, mixes: mixes.records }),
            ),
      tests: tests.records.map(({ body }) => {
        const second = lines.byId.get(body.otherLineId ?? '')?.body.name;
        return {
          strong: lines.byId.get(body.strongLineId)?.body.name ?? body.strongLineId,
          ...(second === undefined ? {} : { other: second }),
          body,
        };
      }),
    };
  }, [tests.records, lines.records, lines.byId, notes.records, blocks.records, mixes.records]);
  return { subject, isPending };
}
