import type { DemoHere } from '../book/demo.ts';
import { Button } from './button.tsx';
import { JobLine } from './job-line.tsx';

/** Says that what is shown is invented. */
export function DemoInside({ demo }: { readonly demo: DemoHere }) {
  if (demo.inside === 0) return null;
  return (
    <section className="demo-inside" aria-label="Demo studio">
      <p>Everything here is invented. Try anything; remove the demo at the bottom of this page.</p>
      <JobLine here={demo.learning} what="Learning how its clays mix, from its tiles" />
    </section>
  );
}

/** Clears the invented studio out in one press: last on a screen, as nobody comes for it first. */
export function DemoClearing({ demo }: { readonly demo: DemoHere }) {
  if (demo.inside === 0) return null;
  const { leaning } = demo;
  return (
    <section className="stack" aria-label="Beginning your own">
      <p>
        {leaning === 0
          ? 'Remove the demo before you add your own clays.'
          : `When the invented studio is cleared out, ${leaning === 1 ? 'one thing you made of its clays goes' : `${leaning} things you made of its clays go`} with it.`}{' '}
        You can undo this.
      </p>
      <div className="doings">
        <Button isDisabled={demo.busy} onPress={() => void demo.clearOut()}>
          Remove the demo
        </Button>
      </div>
    </section>
  );
}
