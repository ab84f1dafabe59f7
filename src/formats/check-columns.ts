import { withBefore } from '../core/numeric/pairs.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import type { Columns } from './columns.ts';

/**
 * Refuses: headings without a colour, or with some of L, a and b only -> file-unreadable, with the line of
 *          the headings
 */
export function checkColour({ named, bands, line }: Columns, file: string): void {
  const axes = ['L', 'a', 'b'] as const;
  const missing = axes.filter((axis) => !named.has(axis));
  if (missing.length === 0 || (missing.length === 3 && bands.length > 0)) return;
  const there = axes.flatMap((axis) => named.get(axis)?.name ?? []);
  const hint = 'Name the columns of the colour L, a and b, or 400, 410 and so on for a spectrum.';
  if (there.length === 0) {
    const expected = 'L, a and b, or a spectrum';
    throw unreadable({ file, line, saw: 'no heading of a colour', expected, hint });
  }
  throw unreadable({
    file,
    line,
    saw: `the headings ${there.join(' and ')} without ${missing.join(' and ')}`,
    expected: 'all three of L, a and b',
    hint,
  });
}

/**
 * Whether the bands make a spectrum that can be put onto a grid of 10 nm.
 * Refuses: fewer than 10 between 380 and 730 nm, a step above 20 nm, per cent signs on some headings
 *          only -> file-unreadable
 * Source:  steps: CIE 167:2005, which advises against interpolating anything coarser
 */
export function checkBands({ bands, line }: Columns, file: string): void {
  const inside = bands.filter((band) => band.wavelengthNm >= 380 && band.wavelengthNm <= 730);
  if (inside.length < 10) {
    throw unreadable({
      file,
      line,
      saw: `${inside.length} wavelengths between 380 and 730 nm`,
      expected: 'at least 10',
      hint: 'Export the whole spectrum, or give the colour as L, a, b.',
    });
  }
  for (const [{ wavelengthNm, index, name, scale }, before] of withBefore(bands)) {
    const at = { file, line, column: index + 1, found: name };
    if (wavelengthNm - before.wavelengthNm > 20) {
      throw unreadable({
        ...at,
        expected: `a wavelength at most 20 nm above ${before.wavelengthNm}`,
        hint: 'Export the spectrum in steps of 10 nm.',
      });
    }
    if (scale !== before.scale) {
      throw unreadable({
        ...at,
        expected: `the same scale as in "${before.name}"`,
        hint: 'Put % on every heading of the spectrum, or on none.',
      });
    }
  }
}
