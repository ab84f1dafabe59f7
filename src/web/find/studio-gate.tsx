import { type ReactNode, useDeferredValue, useMemo } from 'react';
import type { OpenClays } from '../book/clays.ts';
import { ClaysGate } from '../parts/clays-gate.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { type Studio, useStudio } from './studio.ts';

/** Shows its children once the clays are open and their names, lines and stock are known. */
export function StudioGate({
  children,
}: {
  readonly children: (clays: OpenClays, studio: Studio) => ReactNode;
}) {
  return <ClaysGate>{(clays) => <WithStudio clays={clays}>{children}</WithStudio>}</ClaysGate>;
}

function WithStudio({
  clays,
  children,
}: {
  readonly clays: OpenClays;
  readonly children: (clays: OpenClays, studio: Studio) => ReactNode;
}) {
  const studio = useStudio(clays);
  const both = useMemo(() => (studio.isPending ? undefined : { clays, studio }), [clays, studio]);
  // Together, as places among the clays are those of these clays; and in pieces, as in `ClaysGate`.
  const shown = useDeferredValue(both);
  if (shown === undefined || studio.isPending) return <JobProgress what="Loading your clays" />;
  return children(shown.clays, shown.studio);
}
