import { READING_RANGE } from '../domain/records/reading.ts';
import { unreadable } from '../domain/unreadable-file.ts';

/** The spectrum of one row as written, before its scale is known, and what helps to find the scale. */
export interface WrittenSpectrum {
  readonly line: number;
  readonly values: readonly number[];
  /** The same for rows of the same mix. */
  readonly recipe: string;
  /** L of the same row. */
  readonly lightness?: number;
  /** The row states that the gloss is in the numbers. */
  readonly included: boolean;
}

const [, MOST] = READING_RANGE.reflectance;
/** No clay reflects less than this many per cent at every wavelength: polished black glass is at 0.3. */
const DARKEST_PERCENT = 0.3;
/** Nobody makes a file of more mixes that are all as dark as that. */
const MOST_DARK_MIXES = 3;
/** Far above any L of a reflectance below 1.3 %, far below any L of one above 0.3. */
const LIGHTNESS_BETWEEN = 36;

/**
 * Whether reflectances run 0-1 or 0-100, from the evidence of a whole file.
 *
 * On 0-1 no value is above 1.3. A row with most of its bands above that is in per cent. A row with a few
 * bands above it decides nothing (a deep red in per cent, or 0-1 with one typing error) and goes with the
 * others. Where no value is above 1.3, all from 0.3 up and the mixes few, they may be per cent of black
 * tiles or 0-1 of pale ones; then L beside the spectrum, or gloss in the numbers (4 % of itself), decides.
 * Refuses: rows on both scales, rows that leave two readings open -> file-unreadable
 */
export function scaleOf(spectra: readonly WrittenSpectrum[], file: string): 1 | 100 {
  let fraction: WrittenSpectrum | undefined;
  let percent: WrittenSpectrum | undefined;
  let doubtful: WrittenSpectrum | undefined;
  for (const spectrum of spectra) {
    const above = spectrum.values.filter((value) => value > MOST).length;
    if (above === 0) fraction ??= spectrum;
    else if (above * 2 >= spectrum.values.length) percent ??= spectrum;
    else doubtful ??= spectrum;
  }
  if (fraction !== undefined && percent !== undefined) {
    const [before, after] =
      fraction.line < percent.line ? [fraction, percent] : [percent, fraction];
    throw unreadable({
      file,
      line: after.line,
      saw: `reflectances up to ${highest(after)}`,
      expected: `the scale of line ${before.line}, where they go up to ${highest(before)}`,
      hint: HINT,
    });
  }
  if (percent !== undefined) return 100;
  if (fraction === undefined && doubtful !== undefined) {
    throw unreadable({
      file,
      line: doubtful.line,
      saw: `reflectances up to ${highest(doubtful)}, most of them below ${MOST}`,
      expected: 'values that are clearly 0-1 or clearly 0-100',
      hint: HINT,
    });
  }
  return fraction !== undefined && mayBeDark(spectra) ? scaleByLightness(spectra, file) : 1;
}

const HINT =
  'Add a column "scale" with 0-1 or 0-100 in it, or write the headings as R450% where values are per cent.';

/** Whether all values could be per cent of very dark tiles. */
function mayBeDark(spectra: readonly WrittenSpectrum[]): boolean {
  return (
    new Set(spectra.map(({ recipe }) => recipe)).size <= MOST_DARK_MIXES &&
    spectra.every(
      ({ values, included }) =>
        !included && values.every((value) => value >= DARKEST_PERCENT && value <= MOST),
    )
  );
}

function scaleByLightness(spectra: readonly WrittenSpectrum[], file: string): 1 | 100 {
  const light = spectra.filter(({ lightness = 0 }) => lightness > LIGHTNESS_BETWEEN);
  const dark = spectra.filter(({ lightness = 100 }) => lightness <= LIGHTNESS_BETWEEN);
  if (light.length > 0 && dark.length === 0) return 1;
  if (dark.length > 0 && light.length === 0) return 100;
  const [first] = spectra;
  throw unreadable({
    file,
    ...(first === undefined ? {} : { line: first.line }),
    saw: `reflectances from ${lowest(spectra)} to ${Math.max(...spectra.map(highest))} in the whole file`,
    expected: 'values that can only be 0-1 (pale tiles) or only per cent (black tiles)',
    hint: HINT,
  });
}

function highest({ values }: WrittenSpectrum): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}

function lowest(spectra: readonly WrittenSpectrum[]): number {
  return Math.min(...spectra.map(({ values }) => Math.min(...values)));
}
