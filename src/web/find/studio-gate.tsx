import { type ReactNode, useDeferredValue, useMemo } from 'react';
import { type ClaysState, type OpenClays, useClays } from '../book/clays.ts';
import { JobProgress } from '../parts/job-progress.tsx';
import { NoClays } from './no-clays.tsx';
import { type Studio, useStudio } from './studio.ts';

export interface ClaysAndStudio {
  readonly clays: OpenClays;
  readonly studio: Studio;
}

/**
 * The clays with their names, lines and stock: undefined until all is known. Together, as places among the
 * clays are those of these clays; and deferred, so that a screen drawn for the first time is drawn in
 * pieces, between what the user does.
 */
export function useClaysAndStudio(): {
  readonly state: ClaysState;
  readonly open: ClaysAndStudio | undefined;
} {
  const state = useClays();
  const clays = state.state === 'open' ? state.clays : undefined;
  const studio = useStudio(clays);
  const both = useMemo(
    () => (clays === undefined || studio.isPending ? undefined : { clays, studio }),
    [clays, studio],
  );
  return { state, open: useDeferredValue(both) };
}

/** Shows its children once the clays are open and their names, lines and stock are known. */
export function StudioGate({
  children,
}: {
  readonly children: (clays: OpenClays, studio: Studio) => ReactNode;
}) {
  const { state, open } = useClaysAndStudio();
  if (state.state === 'refused' || state.state === 'too-few') return <NoClays clays={state} />;
  if (open === undefined) return <JobProgress what="Loading your clays" />;
  return children(open.clays, open.studio);
}
