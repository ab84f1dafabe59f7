import { Link } from '@tanstack/react-router';
import { type ReactNode, useDeferredValue } from 'react';
import { wordsOf } from '../book/change.ts';
import { type OpenClays, useClays } from '../book/clays.ts';
import { EmptyState } from './empty-state.tsx';
import { JobProgress } from './job-progress.tsx';

/** Shows its children once the clays are open; before that, what to do first. */
export function ClaysGate({ children }: { readonly children: (clays: OpenClays) => ReactNode }) {
  const clays = useClays();
  // A screen drawn for the first time is much: it is drawn in pieces, between what the user does.
  const open = useDeferredValue(clays.state === 'open' ? clays.clays : undefined);
  if (clays.state === 'open' && open !== undefined) return children(open);
  if (clays.state === 'opening' || clays.state === 'open')
    return <JobProgress what="Loading your clays" />;
  if (clays.state === 'refused') {
    return (
      <EmptyState
        whole
        title="Your clays could not be loaded"
        actions={
          <Link className="button" data-kind="main" to="/clay-model">
            Update the model
          </Link>
        }
      >
        {wordsOf(clays.fault)}
      </EmptyState>
    );
  }
  return (
    <EmptyState
      whole
      picture="mix"
      title={clays.coloured === 0 ? 'Which clays do you own?' : 'Add one more clay'}
      actions={
        <Link className="button" data-kind="main" to="/">
          {clays.coloured === 0 ? 'Add your blocks' : 'Add another block'}
        </Link>
      }
    >
      {clays.coloured === 0
        ? 'Recipes use the clays you own. One photo of your blocks near a window is enough to start, or choose the colours by eye.'
        : 'You need at least two clays to get recipes.'}
    </EmptyState>
  );
}
