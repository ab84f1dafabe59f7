import type { RecordOf } from '../../../domain/records/record.ts';
import { tempInWords, useUnits } from '../../book/units.ts';

/** Baking notes from the packages of a line. */
export function LinePackage({ line }: { line: RecordOf<'line'> }) {
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
      . The label on your package decides. Oven dials are often wrong: trust a thermometer next to
      the clay.
    </p>
  );
}
