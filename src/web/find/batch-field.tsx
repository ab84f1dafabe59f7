import { useEffect, useRef, useState } from 'react';
import { FIND_LIMITS } from '../../core/find/find-limits.ts';
import { gFrom, type Units } from '../book/units.ts';
import { Field } from '../parts/field.tsx';

const [LEAST_G, MOST_G] = FIND_LIMITS.batch;

/** The batch size in the chosen unit; empty for none. */
export function BatchField({
  batchG,
  units,
  onChange,
}: {
  readonly batchG: number | undefined;
  readonly units: Units;
  readonly onChange: (batchG: number | undefined) => void;
}) {
  const [text, setText] = useState(batchG === undefined ? '' : inUnit(batchG, units));
  const own = useRef(batchG);
  useEffect(() => {
    // A value set elsewhere is shown here; text being typed here is left alone.
    if (own.current === batchG) return;
    own.current = batchG;
    setText(batchG === undefined ? '' : inUnit(batchG, units));
  }, [batchG, units]);
  const gramsOf = (typed: string) => gFrom(Number(typed.trim().replace(',', '.')), units);
  const fits = (grams: number) => grams >= LEAST_G && grams <= MOST_G;
  return (
    <Field
      label={`Batch size, ${units.mass}`}
      value={text}
      inputMode="decimal"
      onChange={(next) => {
        setText(next);
        const empty = next.trim() === '';
        if (!empty && !fits(gramsOf(next))) return;
        own.current = empty ? undefined : gramsOf(next);
        onChange(own.current);
      }}
      no={text.trim() === '' || fits(gramsOf(text)) ? undefined : 'Type a weight such as 40.'}
    />
  );
}

function inUnit(grams: number, units: Units): string {
  return String(Number((grams / gFrom(1, units)).toFixed(2)));
}
