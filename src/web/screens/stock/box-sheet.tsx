import { useDeferredValue, useState } from 'react';
import type { BookStep } from '../../../contract/book/change.ts';
import { change, changeBook, wordsOf } from '../../book/change.ts';
import { titleOfMix, useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { Sheet } from '../../parts/sheet.tsx';
import { type Box, useNamesIn } from './boxed.ts';
import { EditBox } from './edit-box.tsx';

type Held = Box['body']['holds'][number];
const FOUND = 8;
const OUT = 'out';

/** What lies in one box: something put in, taken out, moved to another. */
export function BoxSheet({ box, onClose }: { readonly box: Box; readonly onClose: () => void }) {
  const boxes = useAll('container');
  const tiles = useAll('tile').records.filter(({ body }) => body.containerId === box.id);
  const nameIn = useNamesIn();
  const [editing, setEditing] = useState(false);
  const [no, setNo] = useState<string | undefined>();
  const run = async (what: string, steps: readonly BookStep[], then?: () => void) => {
    setNo(undefined);
    try {
      await changeBook(what, steps);
      then?.();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const others = boxes.records.filter(({ id }) => id !== box.id);
  const move = (held: Held, to: string) => {
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
        ? `Took ${name} out of ${box.body.lid}`
        : `Moved ${name} from ${box.body.lid} to ${target.body.lid}`,
      steps,
    );
  };
  if (editing) return <EditBox box={box} onClose={() => setEditing(false)} />;
  return (
    <Sheet title={box.body.lid} isOpen onClose={onClose}>
      <ul className="history">
        {box.body.holds.map((held) => (
          <li key={held.of.id} className="held">
            <span>{nameIn(held.of)}</span>
            <select
              aria-label={`Move ${nameIn(held.of)} to`}
              value=""
              onChange={(event) => move(held, event.target.value)}
            >
              <option value="">lies here</option>
              {others.map(({ id, body }) => (
                <option key={id} value={id}>
                  to {body.lid}
                </option>
              ))}
              <option value={OUT}>take it out</option>
            </select>
          </li>
        ))}
      </ul>
      {tiles.length === 0 ? null : (
        <p className="small">
          Tiles in it:{' '}
          {tiles
            .slice(0, 40)
            .map(({ body, id }) => body.code ?? body.name ?? id)
            .join(', ')}
          {tiles.length > 40 ? ` and ${tiles.length - 40} more` : ''}.
        </p>
      )}
      <PutIn
        box={box}
        onPut={(held) =>
          void run(`Put ${nameIn(held.of)} into ${box.body.lid}`, [
            change(box, { ...box.body, holds: [...box.body.holds, held] }),
          ])
        }
      />
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="doings">
        <Button kind="main" onPress={onClose}>
          Done
        </Button>
        <Button onPress={() => setEditing(true)}>Change lid or place</Button>
        <Button
          kind="quiet"
          onPress={() =>
            void run(
              `Binned the box ${box.body.lid}`,
              [{ do: 'bin', id: box.id, version: box.version }],
              onClose,
            )
          }
        >
          Put the box into the bin
        </Button>
      </div>
    </Sheet>
  );
}

/** Looks for a block or mix by its name or code. */
function PutIn({ box, onPut }: { readonly box: Box; readonly onPut: (held: Held) => void }) {
  const blocks = useAll('block').records;
  const mixes = useAll('mix').records;
  const { nameOf } = useBlockNames();
  const [text, setText] = useState('');
  const asked = useDeferredValue(text).trim().toLowerCase();
  const inIt = new Set(box.body.holds.map(({ of }) => of.id));
  const found =
    asked === ''
      ? []
      : [
          ...blocks.map(({ id, body }) => ({
            of: { kind: 'block' as const, id },
            words: [body.code, nameOf(id)].filter(Boolean).join(' '),
          })),
          ...mixes.map((mix) => ({
            of: { kind: 'mix' as const, id: mix.id },
            words: [mix.body.code, titleOfMix(mix)].filter(Boolean).join(' '),
          })),
        ]
          .filter(({ of, words }) => !inIt.has(of.id) && words.toLowerCase().includes(asked))
          .slice(0, FOUND);
  return (
    <div className="stack">
      <Field
        label="Put something in"
        placeholder="Name or code of a block or mix"
        value={text}
        onChange={setText}
      />
      {asked === '' ? null : found.length === 0 ? (
        <p className="soft small">Nothing of that name that does not lie here already.</p>
      ) : (
        <div className="doings">
          {found.map(({ of, words }) => (
            <Button
              key={of.id}
              aria-label={`Put ${words} in`}
              onPress={() => {
                setText('');
                onPut({ of });
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
