import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import type { Changes } from './changes-of-job.ts';

/** Rows of each list; the rest is counted. */
const SHOWN = 6;

/** What an update changes, before it replaces the clay model in use. */
export function WhatChanges({
  changes,
  notes,
  busy,
  onUse,
  onKeep,
}: {
  readonly changes: Changes | undefined;
  readonly notes: readonly string[];
  readonly busy: boolean;
  readonly onUse: () => void;
  readonly onKeep: () => void;
}) {
  return (
    <Part title="What the update changes">
      <WhatChanged changes={changes} notes={notes} />
      <div className="actions">
        <Button kind="main" isDisabled={busy} onPress={onUse}>
          Use the new model
        </Button>
        <Button isDisabled={busy} onPress={onKeep}>
          Use the old one
        </Button>
      </div>
    </Part>
  );
}

/** What is different in a newer model, and what was noticed on the way. */
export function WhatChanged({
  changes,
  notes,
}: {
  readonly changes: Changes | undefined;
  readonly notes: readonly string[];
}) {
  return (
    <>
      {changes === undefined ? (
        <p>The old model counts parts another way, so the two cannot be compared.</p>
      ) : (
        <Compared changes={changes} />
      )}
      {notes.length === 0 ? null : (
        <ul className="findings">
          {notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
    </>
  );
}

function Compared({ changes }: { readonly changes: Changes }) {
  const { added, gone, surprising, surer, lessSure, awayFromTile } = changes;
  const sure = (mixes: Changes['surer']) =>
    mixes.map(
      ({ of, plusMinus: { before, after } }) =>
        `${of}: ± ${before.toFixed(1)} becomes ± ${after.toFixed(1)}`,
    );
  const lists = [
    ['New clays', added],
    ['Clays no longer there', gone],
    ['Surer now', sure(surer)],
    ['Less sure now', sure(lessSure)],
    [
      'Moved further than expected',
      surprising.map(({ of, dE00 }) => `${of}: by ${dE00.toFixed(1)} dE00`),
    ],
    [
      'Predictions that moved away from their own tile',
      awayFromTile.map(
        ({ tile, before, after }) =>
          `${tile}: ${before.toFixed(1)} dE00 off before, ${after.toFixed(1)} now`,
      ),
    ],
  ] as const;
  const filled = lists.filter(([, rows]) => rows.length > 0);
  if (filled.length === 0) return <p>No prediction changes enough to see.</p>;
  return (
    <>
      {filled.map(([title, rows]) => (
        <section key={title}>
          <h3>{title}</h3>
          <ul>
            {rows.slice(0, SHOWN).map((row) => (
              <li key={row}>{row}</li>
            ))}
            {rows.length > SHOWN ? <li className="soft">and {rows.length - SHOWN} more</li> : null}
          </ul>
        </section>
      ))}
    </>
  );
}
