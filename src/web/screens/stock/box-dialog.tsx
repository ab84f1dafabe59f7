import { useQuery } from '@tanstack/react-query';
import { useDeferredValue, useState } from 'react';
import { change } from '../../../domain/changes/steps.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { client } from '../../book/client.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { type Box, type Boxed, useNamesIn, useOwnOf } from './boxed.ts';
import { EditBox } from './edit-box.tsx';

const FOUND = 8;
const OUT = 'out';

/** The content of one box: add, remove and move. */
export function BoxDialog({ box, onClose }: { readonly box: Box; readonly onClose: () => void }) {
  const boxes = useAll('box');
  const tiles = useOwnOf(box, 'tile');
  const nameIn = useNamesIn([box]);
  const [editing, setEditing] = useState(false);
  const [no, setNo] = useState<string | undefined>();
  const run = async (what: string, steps: readonly BookStep[], then?: () => void) => {
    setNo(undefined);
    try {
      await sendChange(what, steps);
      then?.();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const others = boxes.records.filter(({ id }) => id !== box.id);
  const move = (held: Boxed, to: string) => {
    const left = box.body.holds.filter(({ of }) => of.id !== held.of.id);
    const target = boxes.byId.get(to);
    const steps = [change(box, { ...box.body, holds: left })];
    if (target !== undefined) {
      const there = target.body.holds.filter(({ of }) => of.id !== held.of.id);
      steps.push(change(target, { ...target.body, holds: [...there, held] }));
    }
    const name = nameIn(held.of);
    void run(
      target === undefined
        ? `Removed ${name} from ${box.body.lid}`
        : `Moved ${name} from ${box.body.lid} to ${target.body.lid}`,
      steps,
    );
  };
  if (editing) return <EditBox box={box} onClose={() => setEditing(false)} />;
  return (
    <Dialog title={box.body.lid} isOpen onClose={onClose}>
      <ul className="history">
        {box.body.holds.map((held) => (
          <li key={held.of.id} className="held">
            <span>{nameIn(held.of)}</span>
            <select
              aria-label={`Move ${nameIn(held.of)} to`}
              value=""
              onChange={(event) => move(held, event.target.value)}
            >
              <option value="">stays here</option>
              {others.map(({ id, body }) => (
                <option key={id} value={id}>
                  to {body.lid}
                </option>
              ))}
              <option value={OUT}>remove</option>
            </select>
          </li>
        ))}
      </ul>
      {tiles.total === 0 ? null : (
        <p className="small">
          Tiles: {tiles.names.join(', ')}
          {tiles.total > tiles.names.length ? ` and ${tiles.total - tiles.names.length} more` : ''}.
        </p>
      )}
      <PutIn
        box={box}
        onPut={(held, name) =>
          void run(`Added ${name} to ${box.body.lid}`, [
            change(box, { ...box.body, holds: [...box.body.holds, held] }),
          ])
        }
      />
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" onPress={onClose}>
          Close
        </Button>
        <Button onPress={() => setEditing(true)}>Edit box</Button>
        <Button
          kind="quiet"
          onPress={() =>
            run(
              `Deleted the box ${box.body.lid}`,
              [{ do: 'delete', id: box.id, version: box.version }],
              onClose,
            )
          }
        >
          Delete box
        </Button>
      </div>
    </Dialog>
  );
}

/** Finds a block or mix by its name or code, to add. */
function PutIn({
  box,
  onPut,
}: {
  readonly box: Box;
  readonly onPut: (held: Boxed, name: string) => void;
}) {
  const { nameOf } = useBlockNames();
  const [text, setText] = useState('');
  const asked = useDeferredValue(text).trim();
  const { data, error } = useQuery({
    queryKey: ['near', 'put in', asked],
    enabled: asked !== '',
    queryFn: async () => {
      const query = { text: asked.slice(0, 500), kind: ['block', 'mix'] as const, limit: FOUND };
      return (await client.call('search', { query: query as never })).body.records;
    },
  });
  const inIt = new Set(box.body.holds.map(({ of }) => of.id));
  const found = (data ?? []).flatMap((record) => {
    if (inIt.has(record.id) || (record.kind !== 'block' && record.kind !== 'mix')) return [];
    const name = record.kind === 'block' ? nameOf(record.id) : record.body.name;
    const words = [record.body.code, name].filter(Boolean).join(' ');
    return [{ of: { kind: record.kind, id: record.id }, words }];
  });
  return (
    <div className="stack">
      <Field
        label="Add to this box"
        placeholder="Name or code of a block or mix"
        value={text}
        onChange={setText}
        no={error === null ? undefined : wordsOf(error)}
      />
      {asked === '' || data === undefined ? null : found.length === 0 ? (
        <p className="soft small">No other block or mix has that name.</p>
      ) : (
        <div className="actions">
          {found.map(({ of, words }) => (
            <Button
              key={of.id}
              aria-label={`Add ${words}`}
              onPress={() => {
                setText('');
                onPut({ of }, words);
              }}
            >
              {words}
            </Button>
          ))}
        </div>
      )}
    </div>
  );
}
