import { useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { codeKey } from '../../core/notation/codes.ts';
import { readTileSteps, tileToRead } from '../../domain/changes/read-tile.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { AimPicker } from '../aims/aim-picker.tsx';
import { newId, sendChange, wordsOf } from '../book/change.ts';
import { useSamples } from '../book/colours.ts';
import { useUnits } from '../book/units.ts';
import { dayInWords } from '../book/when-in-words.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Pick } from '../parts/field.tsx';
import { Tile } from '../parts/tile.tsx';
import { GlossPick, type GlossSaid } from './tiles/gloss-pick.tsx';
import { THICKNESS_HELP, ThicknessField, thicknessFrom } from './tiles/thickness-field.tsx';

/** Stands for a tile that is not in the book yet; no id is empty. */
const NEW_TILE = '';

type Got = 'measured' | 'by eye' | 'rough';

/** Adds a tile of a mix or block with its colour: measured, chosen by eye, or tapped in a photo. */
export function AddTile({
  of,
  code,
  title,
  basis,
  start,
  into,
  onClose,
}: {
  readonly of: BodyOf<'tile'>['of'];
  readonly code: string | undefined;
  readonly title: string;
  readonly basis: 'volume' | 'weight';
  /** The colour that choosing by eye starts from: what is predicted. */
  readonly start?: Lab | undefined;
  /** The tile that is read; else a new one, or one that is chosen. */
  readonly into?: RecordOf<'tile'> | undefined;
  readonly onClose: () => void;
}) {
  const [lab, setLab] = useState<Lab | undefined>();
  const [readingKind, setGot] = useState<Got>('by eye');
  const [state, setState] = useState<'raw' | 'baked'>('baked');
  const units = useUnits();
  const [thick, setThick] = useState('');
  const [gloss, setGloss] = useState<GlossSaid>('excluded');
  const [no, setNo] = useState<string | undefined>();
  const samples = useSamples('id' in of ? of.id : undefined);
  const [chosen, setChosen] = useState<string | undefined>();
  const usual = into ?? tileToRead(samples, { code, name: title }, state);
  const tile = chosen === undefined ? usual : samples.tiles.find(({ id }) => id === chosen);
  const save = async () => {
    if (lab === undefined && tile !== undefined)
      return setNo('Choose the colour of the tile first.');
    const thicknessMm = tile === undefined ? thicknessFrom(thick, units) : undefined;
    if (thicknessMm === 'unreadable') return setNo(THICKNESS_HELP);
    const steps = readTileSteps({
      of,
      basis,
      called: { code, name: title },
      tile,
      state,
      lab,
      readingKind,
      geometry: readingKind === 'measured' ? gloss : undefined,
      thicknessMm,
      isCodeFree: samples.tiles.every(({ body }) => !sameCode(body.code, code)),
      newId,
    });
    try {
      const what = lab === undefined ? 'Added' : 'Added a reading of';
      await sendChange(`${what} the ${state} tile of ${title}`, steps);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Dialog title={`Tile of ${title}`} isOpen onClose={onClose}>
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
        label="Colour source"
        value={readingKind}
        onChange={setGot}
        options={[
          ['by eye', 'chosen by eye next to the tile'],
          ['rough', 'tapped in a photo'],
          ['measured', 'measured with an instrument or a chart photo'],
        ]}
      />
      {readingKind !== 'measured' ? null : <GlossPick value={gloss} onChange={setGloss} />}
      <AimPicker
        alone
        aim={lab === undefined ? undefined : { lab, words: spokenColour(lab) }}
        onAim={(aim) => setLab(aim.lab)}
        {...(start === undefined ? {} : { start })}
      />
      {lab === undefined ? null : (
        <div className="missing">
          <Tile lab={lab} name="The tile" />
          <p>{spokenColour(lab)}</p>
        </div>
      )}
      {samples.tiles.length === 0 || into !== undefined ? null : (
        <Pick
          label="Which tile"
          value={tile?.id ?? NEW_TILE}
          onChange={setChosen}
          options={[
            ...samples.tiles.map((one) => [one.id, tileInWords(one)] as const),
            [NEW_TILE, 'a new tile'],
          ]}
        />
      )}
      {tile !== undefined ? null : (
        <ThicknessField value={thick} onChange={setThick} units={units} />
      )}
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" isDisabled={samples.isPending} onPress={() => save()}>
          {lab === undefined && tile === undefined ? 'Save without a colour' : 'Save reading'}
        </Button>
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}

function sameCode(one: string | undefined, other: string | undefined): boolean {
  return one !== undefined && other !== undefined && codeKey(one) === codeKey(other);
}

/** A tile by its code or name, its state, and the day it came into the book. */
function tileInWords({ createdAt, body }: RecordOf<'tile'>): string {
  return `${body.code ?? body.name ?? 'a tile'}, ${body.state}, added ${dayInWords(createdAt)}`;
}
