import { useState } from 'react';
import { Button as AriaButton } from 'react-aria-components';
import type { Lab } from '../../../core/colour/triples.ts';
import { END_KINDS } from '../../../core/ladder/end-kinds.ts';
import { useColours, useColoursOf } from '../../book/colours.ts';
import { titleOfMix, useBlockNames } from '../../book/names.ts';
import { useRecord } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { ClayDialog } from '../../parts/clay-picker.tsx';
import { MixChoices } from '../../parts/mix-choices.tsx';
import { Tile } from '../../parts/tile.tsx';

/** One end of a row of steps, as the address has it: `block ID`, `mix ID`, `white`, `grey` ... */
export type EndRef = string;

/** The kind and the id an end names; the id is empty for a kind of clay. */
export function partsOfEnd(end: EndRef): readonly ['block' | 'mix' | 'kind', string] {
  const [kind, id = ''] = end.split(' ');
  return kind === 'block' || kind === 'mix' ? [kind, id] : ['kind', kind];
}

/** The colour and name of an end. */
export function useEnd(end: EndRef | undefined): {
  readonly lab: Lab | undefined;
  readonly name: string;
} {
  const [kind, id] = partsOfEnd(end ?? '');
  const { record } = useRecord(kind === 'mix' && id !== '' ? id : undefined);
  const blocks = useColours();
  const mixes = useColoursOf(kind === 'mix' && id !== '' ? [id] : []);
  const { nameOf } = useBlockNames();
  if (kind === 'block') return { lab: blocks.shown(id)?.lab, name: nameOf(id) };
  if (kind === 'mix') {
    return {
      lab: mixes.shown(id)?.lab,
      name: record?.kind === 'mix' ? titleOfMix(record) : 'a mix',
    };
  }
  return { lab: undefined, name: id };
}

/** Chooses one end of a row of steps: a clay, a mix, or a kind of clay. */
export function EndPicker({
  label,
  value,
  predicted,
  onChange,
}: {
  readonly label: string;
  readonly value: EndRef | undefined;
  /** Shown where the book has no colour of that end. */
  readonly predicted: Lab | undefined;
  readonly onChange: (end: EndRef) => void;
}) {
  const [isOpen, setOpen] = useState(false);
  const { lab = predicted, name } = useEnd(value);
  const words = value === undefined ? 'Choose' : name;
  const take = (end: EndRef) => {
    setOpen(false);
    onChange(end);
  };
  return (
    <div className="field">
      <span className="field-label" aria-hidden="true">
        {label}
      </span>
      <AriaButton
        className="clay-picked"
        aria-label={`${label}: ${words}`}
        onPress={() => setOpen(true)}
      >
        {lab === undefined ? <span className="no-colour" /> : <Tile lab={lab} name={words} />}
        {words}
      </AriaButton>
      {isOpen ? (
        <ClayDialog
          title={label}
          value={value?.startsWith('block ') ? value.slice(6) : undefined}
          onChoose={(id) => take(`block ${id}`)}
          onClose={() => setOpen(false)}
        >
          <div className="actions">
            {END_KINDS.map((kind) => (
              <Button key={kind} onPress={() => take(kind)}>
                {kind}
              </Button>
            ))}
          </div>
          <MixChoices onChoose={(mix) => take(`mix ${mix.id}`)} />
        </ClayDialog>
      ) : null}
    </div>
  );
}
