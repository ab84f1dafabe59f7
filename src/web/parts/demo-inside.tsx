import type { DemoHere } from '../book/demo.ts';
import { Button } from './button.tsx';
import { JobLine } from './job-line.tsx';

/** Says that the content is the demo's. */
export function DemoInside({ demo }: { readonly demo: DemoHere }) {
  if (demo.inside === 0) return null;
  return (
    <section className="demo-inside" aria-label="Demo studio">
      <p>Everything here is invented. Try anything; remove the demo at the bottom of this page.</p>
      <JobLine here={demo.learning} what="Building the clay model from the demo tiles" />
    </section>
  );
}

/** The button that removes the demo: last on a screen. */
export function DemoClearing({ demo }: { readonly demo: DemoHere }) {
  if (demo.inside === 0) return null;
  const { leaning } = demo;
  return (
    <section className="stack" aria-label="Remove the demo">
      <p>
        {leaning === 0
          ? 'Remove the demo before you add your own clays.'
          : `Removing the demo also deletes ${leaning === 1 ? 'one record' : `${leaning} records`} you made with its clays.`}{' '}
        You can undo this.
      </p>
      <div className="actions">
        <Button isDisabled={demo.busy} onPress={() => demo.remove()}>
          Remove the demo
        </Button>
      </div>
    </section>
  );
}
