import { useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { KIND_WIDTHS } from '../../domain/reading-kind.ts';
import type { BookStep } from '../../domain/records/change.ts';
import type { BodyOf } from '../../domain/records/record.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import { changeBook, make, newId, wordsOf } from '../book/change.ts';
import { mmFrom, useUnits } from '../book/units.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, Pick } from '../parts/field.tsx';
import { Tile } from '../parts/tile.tsx';

/** One reading of an instrument, CIELAB an axis; as contract/reading.ts has it for a file. */
const SPREAD_OF_MEASURED = 0.5;

type Got = 'measured' | 'by eye' | 'rough';

/** A tile of a mix or block with its colour: measured, made by eye, or tapped in a picture. */
export function AddTile({
  of,
  code,
  title,
  basis,
  onClose,
}: {
  readonly of: BodyOf<'tile'>['of'];
  readonly code: string | undefined;
  readonly title: string;
  readonly basis: 'volume' | 'weight';
  readonly onClose: () => void;
}) {
  const [lab, setLab] = useState<Lab | undefined>();
  const [readingKind, setGot] = useState<Got>('by eye');
  const [state, setState] = useState<'raw' | 'baked'>('baked');
  const units = useUnits();
  const [thick, setThick] = useState(units.length === 'mm' ? '3' : '0.12');
  const [no, setNo] = useState<string | undefined>();
  const keep = async () => {
    if (lab === undefined) return setNo('Give the tile a colour first.');
    const thicknessMm =
      thick.trim() === '' ? undefined : mmFrom(Number(thick.replace(',', '.')), units);
    if (thicknessMm !== undefined && !(thicknessMm > 0 && thicknessMm <= 100)) {
      return setNo('A thickness, such as 3 mm; or leave it empty where no light comes through.');
    }
    const tileId = newId('tile');
    const steps: BookStep[] = [
      make(
        'tile',
        {
          of,
          basis,
          state,
          bakes: [],
          ...(code === undefined ? { name: title } : { code }),
          ...(thicknessMm === undefined ? {} : { thicknessMm }),
        },
        tileId,
      ),
      make('reading', {
        of: { kind: 'tile', id: tileId },
        readingKind,
        state,
        lab: { values: [...lab] as [number, number, number], light: 'D50', observer: 2 },
        spread: readingKind === 'measured' ? SPREAD_OF_MEASURED : KIND_WIDTHS[readingKind].spread,
        geometry: 'excluded',
      }),
    ];
    try {
      await changeBook(`Read the ${state} tile of ${title}`, steps);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Dialog title={`The tile of ${title}`} isOpen onClose={onClose}>
      <Choice
        label="State of the tile"
        value={state}
        onChange={setState}
        options={[
          ['baked', 'Baked and cool'],
          ['raw', 'Raw'],
        ]}
      />
      <Pick<Got>
        label="How the colour was measured"
        value={readingKind}
        onChange={setGot}
        options={[
          ['by eye', 'chosen by eye next to the tile'],
          ['rough', 'tapped in a picture'],
          ['measured', 'measured by an instrument or a chart'],
        ]}
      />
      <AimPicker
        aim={lab === undefined ? undefined : { lab, words: spokenColour(lab) }}
        onAim={(aim) => setLab(aim.lab)}
      />
      {lab === undefined ? null : (
        <div className="missing">
          <Tile lab={lab} name="The tile" />
          <p>{spokenColour(lab)}</p>
        </div>
      )}
      <Field
        label={units.length === 'mm' ? 'Thickness, mm' : 'Thickness, inches'}
        value={thick}
        onChange={setThick}
        inputMode="decimal"
      />
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" onPress={() => void keep()}>
          Save reading
        </Button>
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}
