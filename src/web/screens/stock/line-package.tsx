import { LABEL_FIRST, THERMOMETER } from '../../../domain/cautions.ts';
import { bakingOfLine } from '../../../domain/clay-of-block.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { tempInWords, useUnits } from '../../book/units.ts';
import { heatInWords } from '../mix/baking-in-words.ts';

/** Baking notes from the packages of a line. */
export function LinePackage({ line }: { line: RecordOf<'line'> }) {
  const units = useUnits();
  const { heat, neverExceedC } = bakingOfLine(line.body);
  if (heat === undefined && neverExceedC === undefined) return null;
  const said = [
    heat === undefined ? undefined : heatInWords(heat, units),
    neverExceedC === undefined
      ? undefined
      : `never above ${tempInWords(neverExceedC, units)} at the clay`,
  ];
  return (
    <p className="soft small">
      Package: {said.filter((part) => part !== undefined).join(', ')}. {LABEL_FIRST} {THERMOMETER}
    </p>
  );
}
