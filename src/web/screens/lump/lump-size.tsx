import { USUAL_DENSITY } from '../../../core/mixes/mix-graph.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Field, Pick } from '../../parts/field.tsx';

/** How large a lump is, as the user typed. */
export interface TypedSize {
  readonly typed: string;
  readonly unit: 'pieces' | 'g' | 'mm';
}

export const NO_SIZE: TypedSize = { typed: '', unit: 'pieces' };

/** Pieces of a lump nobody counted. */
const UNCOUNTED = 12;

export interface LumpSize {
  /** Pieces the lump is counted in. */
  readonly pieces: number;
  /** Weight of one of them, grams; absent where only pieces are known. */
  readonly pieceG?: number;
}

/** The size of a lump of so many pieces; `counted` is 0 where nobody knows. A size nobody typed is the pieces. */
export function lumpSizeOf({ typed, unit }: TypedSize, counted: number): LumpSize | 'unreadable' {
  const pieces = counted > 0 ? counted : UNCOUNTED;
  if (typed.trim() === '') return { pieces };
  const n = Number(typed.trim().replace(',', '.'));
  if (!(n > 0 && n <= 10_000)) return 'unreadable';
  if (unit === 'pieces') return { pieces: n };
  const grams = unit === 'g' ? n : ((Math.PI / 6) * n ** 3 * USUAL_DENSITY.value) / 1000;
  return { pieces, pieceG: grams / pieces };
}

/** Asks how large the lump is: pieces, grams, or the ball across. */
export function LumpSizeField({
  size,
  counted,
  onSize,
}: {
  readonly size: TypedSize;
  readonly counted: number;
  readonly onSize: (size: TypedSize) => void;
}) {
  const units = useUnits();
  const read = lumpSizeOf(size, counted);
  const grams = read === 'unreadable' ? undefined : read.pieceG;
  return (
    <div className="lump-size">
      <Field
        label="Size of the lump now"
        value={size.typed}
        onChange={(typed) => onSize({ ...size, typed })}
        inputMode="decimal"
        placeholder={counted > 0 ? String(Number(counted.toFixed(2))) : String(UNCOUNTED)}
        no={read === 'unreadable' ? 'Please type a number above 0, such as 12 or 24.5.' : undefined}
        {...(grams === undefined ? {} : { help: `One piece is ${massInWords(grams, units)}.` })}
      />
      <Pick
        label="Counted in"
        value={size.unit}
        onChange={(unit) => onSize({ ...size, unit })}
        options={[
          ['pieces', 'pieces'],
          ['g', 'grams'],
          ['mm', 'mm across, as a ball'],
        ]}
      />
    </div>
  );
}
