import type { ReactNode } from 'react';
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
  return (
    <ClaysGate>
      {(clays) => <WithStudio clays={clays}>{(studio) => children(clays, studio)}</WithStudio>}
    </ClaysGate>
  );
}

function WithStudio({
  clays,
  children,
}: {
  readonly clays: OpenClays;
  readonly children: (studio: Studio) => ReactNode;
}) {
  const studio = useStudio(clays);
  if (studio.isPending) return <JobProgress what="Loading your clays" />;
  return children(studio);
}
