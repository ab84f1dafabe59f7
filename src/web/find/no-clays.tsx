import { Link } from '@tanstack/react-router';
import { wordsOf } from '../book/change.ts';
import type { ClaysState } from '../book/clays.ts';
import { EmptyState } from '../parts/empty-state.tsx';

/** The book's clays cannot be opened: why, and what to do first. */
export function NoClays({
  clays,
}: {
  readonly clays: Extract<ClaysState, { state: 'refused' | 'too-few' }>;
}) {
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
