import { useState } from 'react';
import { change } from '../../../domain/changes/steps.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { ClayAdder } from '../../parts/clay-picker.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Pick } from '../../parts/field.tsx';
import { Pieces } from '../../parts/pieces.tsx';
import { useMixGroups } from '../mix-pieces.tsx';
import { GlossPick, type GlossSaid } from './gloss-pick.tsx';
import { LifeFields, useLifeFields } from './life-fields.tsx';
import { THICKNESS_HELP, ThicknessField, thicknessFrom } from './thickness-field.tsx';

type State = BodyOf<'tile'>['state'];
type Reading = RecordOf<'reading'>;

/** Corrects a tile: its recipe, thickness and state, its life, and the state and gloss of each reading. */
export function EditTile({
  tile,
  onClose,
}: {
  readonly tile: RecordOf<'tile'>;
  readonly onClose: () => void;
}) {
  const units = useUnits();
  const { body } = tile;
  const title = body.code ?? body.name ?? 'tile';
  const [parts, setParts] = useState(partsOf(body.of));
  const groups = useMixGroups({ body: { parts } });
  const [state, setState] = useState<State>(body.state);
  const mm = body.thicknessMm;
  const [thick, setThick] = useState(
    mm === undefined ? '' : String(units.length === 'mm' ? mm : Number((mm / 25.4).toFixed(3))),
  );
  const own = useAll('reading').records.filter((reading) => reading.body.of.id === tile.id);
  const [said, setSaid] = useState<Readonly<Record<string, Partial<Reading['body']>>>>({});
  const life = useLifeFields(body);
  const [no, setNo] = useState<string | undefined>();
  const save = async () => {
    const thicknessMm = thicknessFrom(thick, units);
    if (thicknessMm === 'unreadable') return setNo(THICKNESS_HELP);
    const used = parts.filter((part) => part.parts > 0);
    if (used.length === 0) return setNo('A tile needs at least one part.');
    const lived = life.read();
    if (typeof lived === 'string') return setNo(lived);
    const { thicknessMm: _t, backing, ...rest } = lived;
    const next: BodyOf<'tile'> = {
      ...rest,
      state: lived.bakes.length > body.bakes.length ? 'baked' : state,
      ...(isSame(used, partsOf(body.of))
        ? {}
        : { of: used.length === 1 ? used[0].of : { parts: used } }),
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
      ...(thicknessMm === undefined || backing === undefined ? {} : { backing }),
    };
    const readings = own.flatMap((reading): BookStep[] => {
      const changed = said[reading.id];
      return changed === undefined ? [] : [change(reading, { ...reading.body, ...changed })];
    });
    try {
      await sendChange(`Changed the tile ${title}`, [change(tile, next), ...readings]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const say = (id: string, changed: Partial<Reading['body']>) =>
    setSaid({ ...said, [id]: { ...said[id], ...changed } });
  return (
    <Dialog title={`Edit tile ${title}`} isOpen onClose={onClose}>
      <Pieces
        groups={groups}
        onChange={(id, n) => setParts(parts.map((p) => (p.of.id === id ? { ...p, parts: n } : p)))}
      />
      <div className="actions">
        <ClayAdder
          label="Add a clay"
          among={(id) => !parts.some(({ of }) => of.id === id)}
          onChoose={(id) => setParts([...parts, { of: { kind: 'block', id }, parts: 1 }])}
        />
      </div>
      <Choice
        label="State of the tile"
        value={state}
        onChange={setState}
        options={[
          ['baked', 'Baked and cool'],
          ['raw', 'Raw'],
        ]}
      />
      <ThicknessField value={thick} onChange={setThick} units={units} />
      <LifeFields fields={life} />
      {own.map((reading, i) => (
        <div key={reading.id} className="two">
          <Pick<State>
            label={own.length === 1 ? 'The reading was taken' : `Reading ${i + 1} was taken`}
            value={said[reading.id]?.state ?? reading.body.state}
            onChange={(value) => say(reading.id, { state: value })}
            options={[
              ['baked', 'after baking'],
              ['raw', 'before baking'],
            ]}
          />
          {reading.body.readingKind !== 'measured' ? null : (
            <GlossPick
              label={own.length === 1 ? 'Gloss in the reading' : `Gloss in reading ${i + 1}`}
              value={said[reading.id]?.geometry ?? reading.body.geometry}
              onChange={(value: GlossSaid) => say(reading.id, { geometry: value })}
            />
          )}
        </div>
      ))}
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" onPress={() => save()}>
          Save changes
        </Button>
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

type Parts = BodyOf<'mix'>['parts'];

/** What a tile is made of, as parts: one block or mix is one part of it. */
function partsOf(of: BodyOf<'tile'>['of']): Parts {
  return 'parts' in of ? of.parts : [{ of, parts: 1 }];
}

function isSame(one: Parts, other: Parts): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}
