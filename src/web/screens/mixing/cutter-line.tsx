import { USUAL_DENSITY } from '../../../core/mixes/mix-graph.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { gramsOfPiece } from '../stock/grams-of-piece.ts';

/** How the pieces are cut, and what all of them weigh with each of the user's cutters. */
export function CutterLine({ pieces }: { readonly pieces: number }) {
  const units = useUnits();
  const cutters = useAll('settings').records[0]?.body.cutters ?? [];
  const each = cutters.map(({ name, volumeMm3 }) => {
    const grams = pieces * gramsOfPiece(volumeMm3, USUAL_DENSITY.value);
    return `${name} about ${massInWords(grams, units)}`;
  });
  return (
    <p>
      Cut all pieces with one cutter, from clay rolled to one thickness.
      {each.length === 0 ? '' : ` In all: ${each.join(', ')}.`}
    </p>
  );
}
