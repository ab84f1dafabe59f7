import { useState } from 'react';
import type { ShapeOfFigure } from '../../../domain/records/figure-plan.ts';
import { Button } from '../../parts/button.tsx';
import { ClayPicker } from '../../parts/clay-picker.tsx';
import { MixChoices } from '../../parts/mix-choices.tsx';

type Of = ShapeOfFigure['of'];

/** A mix of the book, or a clay as it is. */
export function ChooseColour({
  label,
  none,
  clayLabel,
  of,
  nameOf,
  onChange,
}: {
  readonly label: string;
  readonly none: string;
  readonly clayLabel: string;
  readonly of: Of;
  readonly nameOf: (id: string) => string;
  readonly onChange: (of: Of) => void;
}) {
  const [mixName, setMixName] = useState<string | undefined>();
  const [choosing, setChoosing] = useState(false);
  return (
    <div className="field">
      <span className="field-label">{label}</span>
      <p>{of === undefined ? none : (mixName ?? nameOf(of.id))}</p>
      {choosing ? (
        <MixChoices
          onChoose={(mix) => {
            onChange({ kind: 'mix', id: mix.id });
            setMixName(mix.name ?? mix.code ?? 'a mix');
            setChoosing(false);
          }}
        />
      ) : (
        <div className="actions">
          <Button onPress={() => setChoosing(true)}>
            Choose a mix{label === 'Colour' ? '' : ' to paint it like'}
          </Button>
        </div>
      )}
      <ClayPicker
        label={clayLabel}
        none="No clay"
        value={of?.kind === 'block' ? of.id : undefined}
        onChange={(id) => {
          setMixName(undefined);
          onChange(id === undefined ? undefined : { kind: 'block', id });
        }}
      />
    </div>
  );
}
