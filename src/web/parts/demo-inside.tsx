import type { DemoHere } from '../book/demo.ts';
import { Button } from './button.tsx';
import { JobLine } from './job-line.tsx';

/** Says that what is shown is invented. */
export function DemoInside({ demo }: { readonly demo: DemoHere }) {
  if (demo.inside === 0) return null;
  return (
    <section className="demo-inside" aria-label="The invented studio">
      <p>
        All of it is made up: its clays, tiles and figures belong to nobody. Try what you like; at
        the foot of this screen it can be cleared out.
      </p>
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
          ? 'Clear the invented studio out when you begin your own.'
          : `When the invented studio is cleared out, ${leaning === 1 ? 'one thing you made of its clays goes' : `${leaning} things you made of its clays go`} with it.`}{' '}
        All of it can be taken back.
      </p>
      <div className="doings">
        <Button isDisabled={demo.busy} onPress={() => void demo.clearOut()}>
          Clear the demo out
        </Button>
      </div>
    </section>
  );
}
