import type { RecordOf } from '../../../domain/records/record.ts';
import { tempInWords, useUnits } from '../../book/units.ts';

/** What the packets of a line say of baking. */
export function LinePacket({ line }: { line: RecordOf<'line'> }) {
  const units = useUnits();
  const { bakeLowC, bakeHighC, neverExceedC } = line.body;
  if (bakeLowC === undefined && bakeHighC === undefined && neverExceedC === undefined) return null;
  return (
    <p className="soft small">
      Package:{' '}
      {bakeLowC === undefined || bakeHighC === undefined
        ? ''
        : `${tempInWords(bakeLowC, units)} to ${tempInWords(bakeHighC, units)}`}
      {neverExceedC === undefined
        ? ''
        : `, never above ${tempInWords(neverExceedC, units)} at the clay`}
      . The label in your hand decides; dials are often wrong, so trust a thermometer beside the
      clay.
    </p>
  );
}
