import type { BodyOf } from '../../../domain/records/record.ts';
import { Pick } from '../../parts/field.tsx';

export type GlossSaid = BodyOf<'reading'>['geometry'];

/** Whether an instrument's reading includes the gloss. */
export function GlossPick({
  value,
  onChange,
  label = 'Gloss in the reading',
}: {
  readonly value: GlossSaid;
  readonly onChange: (value: GlossSaid) => void;
  readonly label?: string;
}) {
  return (
    <Pick<GlossSaid>
      label={label}
      help="Instruments show it as SCI (included) or SCE (excluded). A chart photo and a 45° instrument exclude it."
      value={value}
      onChange={onChange}
      options={[
        ['excluded', 'excluded'],
        ['included', 'included'],
        ['unstated', 'I do not know'],
      ]}
    />
  );
}
