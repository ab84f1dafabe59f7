import { useState } from 'react';
import { percentInWords } from '../../../domain/powders-in-words.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useAll } from '../../book/queries.ts';
import { useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Cautions } from '../../parts/cautions.tsx';
import { EditPowder } from './edit-powder.tsx';
import { amountInWords, useOnHand } from './on-hand.ts';

/** Powders, mica and paints, with what is left of each. */
export function Powders() {
  const powders = useAll('powder').records;
  const stock = useOnHand();
  const units = useUnits();
  const [editing, setEditing] = useState<RecordOf<'powder'> | 'new' | undefined>();
  return (
    <section className="stack" aria-label="Powders">
      {powders.length === 0 ? <p className="soft">No powders yet.</p> : null}
      <ul className="history">
        {powders.map((powder) => {
          const { name, code, powderType, usualShare } = powder.body;
          const said = [
            powderType,
            amountInWords(stock?.get(powder.id), units),
            usualShare === undefined ? '' : `usually ${percentInWords(usualShare)}`,
          ];
          return (
            <li key={powder.id}>
              <span>
                {code === undefined ? null : <span className="code">{code} </span>}
                <b>{name}</b> <span className="small soft">{said.filter(Boolean).join(', ')}</span>
              </span>
              <Button kind="quiet" aria-label={`Edit ${name}`} onPress={() => setEditing(powder)}>
                Edit
              </Button>
            </li>
          );
        })}
      </ul>
      <Cautions topic="powder" />
      <div className="actions">
        <Button onPress={() => setEditing('new')}>Add a powder</Button>
      </div>
      {editing === undefined ? null : (
        <EditPowder
          powder={editing === 'new' ? undefined : editing}
          onClose={() => setEditing(undefined)}
        />
      )}
    </section>
  );
}
