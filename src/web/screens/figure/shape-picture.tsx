import type { CSSProperties } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import type { ShapeForm } from '../../../core/figure/part-shape.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';

/** Outlines in a field of 96 by 48; a core is left open. */
const OUTLINES: Readonly<Record<ShapeForm, string>> = {
  ball: 'M48 4a20 20 0 1 0 .01 0z',
  log: 'M8 16h80v16H8z',
  cone: 'M8 24 88 8v32z',
  horn: 'M8 44C16 12 48 4 90 6 52 12 36 24 32 46z',
  teardrop: 'M24 8a16 16 0 1 0 0 32c16 0 40-8 64-16C64 16 40 8 24 8z',
  leaf: 'M4 24C24 2 72 2 92 24 72 46 24 46 4 24z',
  petal: 'M48 6c26 0 44 8 44 18s-18 18-44 18S4 34 4 24 22 6 48 6z',
  coil: 'M8 40c0-20 4-28 14-28s12 8 12 20-6 12-8 4S30 12 42 12s12 8 12 20-6 12-8 4 4-24 16-24 12 8 12 20-6 12-8 4 4-20 14-22c6 0 8 6 8 14',
  sheet: 'M12 8h72v32H12z',
  'skin over a ball': 'M48 2a22 22 0 1 0 .01 0zM48 9a15 15 0 1 1-.01 0z',
  'skin over a log': 'M6 10h84v28H6zM12 16v16h72V16z',
  amount: 'M20 12c16-10 50-8 58 6s-8 24-30 24S6 26 20 12z',
};

/** A part as a flat picture in its colour; hatched while the colour is not known. */
export function ShapePicture({
  form,
  lab,
}: {
  readonly form: ShapeForm;
  readonly lab: Lab | undefined;
}) {
  useWiderScreen();
  const style =
    lab === undefined ? undefined : ({ '--clay': screenColour(lab).css } as CSSProperties);
  return (
    <svg className="shape-picture" viewBox="0 0 96 48" aria-hidden="true">
      <path
        d={OUTLINES[form]}
        fillRule="evenodd"
        data-coloured={lab !== undefined}
        data-line={form === 'coil' || undefined}
        style={style}
      />
    </svg>
  );
}
