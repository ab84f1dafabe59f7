import { useMemo, useState } from 'react';
import { clayKey } from '../../../core/notation/clay-name.ts';
import { formatRecipe, parseRecipe } from '../../../core/notation/notation.ts';
import { change } from '../../../domain/changes/steps.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { changeBook, wordsOf } from '../../book/change.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { type Gloss, GlossPick } from './gloss-pick.tsx';
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
  const { asWords, asParts } = useRecipeWords();
  const { body } = tile;
  const title = body.code ?? body.name ?? 'tile';
  const written = asWords(body.of);
  const [recipe, setRecipe] = useState<string | undefined>();
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
    const parts = recipe === undefined || recipe === written ? undefined : asParts(recipe);
    if (typeof parts === 'string') return setNo(parts);
    const lived = life.read();
    if (typeof lived === 'string') return setNo(lived);
    const { thicknessMm: _t, backing, ...rest } = lived;
    const next: BodyOf<'tile'> = {
      ...rest,
      state: lived.bakes.length > body.bakes.length ? 'baked' : state,
      ...(parts === undefined ? {} : { of: parts }),
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
      ...(thicknessMm === undefined || backing === undefined ? {} : { backing }),
    };
    const readings = own.flatMap((reading): BookStep[] => {
      const changed = said[reading.id];
      return changed === undefined ? [] : [change(reading, { ...reading.body, ...changed })];
    });
    try {
      await changeBook(`Changed the tile ${title}`, [change(tile, next), ...readings]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const say = (id: string, changed: Partial<Reading['body']>) =>
    setSaid({ ...said, [id]: { ...said[id], ...changed } });
  return (
    <Dialog title={`Edit tile ${title}`} isOpen onClose={onClose}>
      <Field
        label="Recipe"
        help="For example: 3 Kelp + 1 Foam"
        value={recipe ?? written}
        onChange={setRecipe}
      />
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
              onChange={(value: Gloss) => say(reading.id, { geometry: value })}
            />
          )}
        </div>
      ))}
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" onPress={() => void save()}>
          Save changes
        </Button>
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

/** Recipes of tiles in the names of blocks and mixes, and back. */
function useRecipeWords() {
  const { nameOf } = useBlockNames();
  const blocks = useAll('block').records;
  const mixes = useAll('mix').records;
  return useMemo(() => {
    const nameOfMix = ({ body }: RecordOf<'mix'>) => body.name ?? body.code ?? '';
    const byName = new Map<string, { readonly kind: 'block' | 'mix'; readonly id: string }>();
    for (const mix of mixes) {
      for (const name of [mix.body.name, mix.body.code]) {
        if (name !== undefined) byName.set(clayKey(name), { kind: 'mix', id: mix.id });
      }
    }
    for (const { id } of blocks) byName.set(clayKey(nameOf(id)), { kind: 'block', id });
    const mixNames = new Map(mixes.map((mix) => [mix.id, nameOfMix(mix)]));
    const words = (id: string) => mixNames.get(id) ?? nameOf(id);
    return {
      asWords: (of: BodyOf<'tile'>['of']) =>
        'id' in of
          ? words(of.id)
          : formatRecipe(of.parts.map((part) => ({ clay: words(part.of.id), parts: part.parts }))),
      asParts(text: string): BodyOf<'tile'>['of'] | string {
        try {
          const parts = parseRecipe(text).map(({ clay, parts: count }) => {
            const of = byName.get(clayKey(clay));
            if (of === undefined) throw new Error(`No block or mix is called “${clay}”.`);
            return { of, parts: count };
          });
          return parts.length === 1 ? parts[0].of : { parts };
        } catch (fault) {
          return wordsOf(fault);
        }
      },
    };
  }, [blocks, mixes, nameOf]);
}
