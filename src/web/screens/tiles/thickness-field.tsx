import { mmFrom, type Units } from '../../book/units.ts';
import { Field } from '../../parts/field.tsx';

export const THICKNESS_HELP =
  'Type a thickness such as 0.5, or clear the field if no light comes through the tile.';

/** The thickness of a tile. It starts empty: only thin or translucent tiles need one. */
export function ThicknessField({
  value,
  onChange,
  units,
}: {
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly units: Units;
}) {
  return (
    <Field
      label={units.length === 'mm' ? 'Thickness, mm' : 'Thickness, inches'}
      help="Only for thin or translucent tiles. Otherwise, keep the field empty."
      value={value}
      onChange={onChange}
      inputMode="decimal"
    />
  );
}

/** Typed thickness in mm; undefined where nothing was typed. */
export function thicknessFrom(text: string, units: Units): number | undefined | 'unreadable' {
  if (text.trim() === '') return undefined;
  const mm = mmFrom(Number(text.replace(',', '.')), units);
  return mm > 0 && mm <= 100 ? mm : 'unreadable';
}
