import { READING_RANGE } from '../domain/reading.ts';
import { unreadable } from './refusal.ts';

/** The spectrum of one row as written, before its scale is known. */
export interface WrittenSpectrum {
  readonly line: number;
  readonly values: readonly number[];
}

const [, MOST] = READING_RANGE.reflectance;

/**
 * Whether reflectances run 0-1 or 0-100, from the evidence of a whole file.
 *
 * On 0-1 nothing lies above 1.3. A row with most of its bands above that is a row of per cent: no
 * opaque surface gives back so little. A row with a few bands above it tells nothing (a deep red
 * in per cent, or 0-1 with one slip) and goes with the others. A file of per cent in which every
 * tile stays below 1.3 % would be taken for 0-1; no clay is so black.
 * Refuses: rows of both kinds, rows none of which tells -> file-unreadable
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
  const hint = 'Write headings as R450% where values are per cent, R450 where they run 0-1.';
  if (fraction !== undefined && percent !== undefined) {
    const [before, after] =
      fraction.line < percent.line ? [fraction, percent] : [percent, fraction];
    throw unreadable({
      file,
      line: after.line,
      saw: `reflectances up to ${highest(after)}`,
      expected: `the scale of line ${before.line}, where they go up to ${highest(before)}`,
      hint,
    });
  }
  if (percent !== undefined) return 100;
  if (fraction === undefined && doubtful !== undefined) {
    throw unreadable({
      file,
      line: doubtful.line,
      saw: `reflectances up to ${highest(doubtful)}, most of them below ${MOST}`,
      expected: 'values that are plainly 0-1 or plainly 0-100',
      hint,
    });
  }
  return 1;
}

function highest({ values }: WrittenSpectrum): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}
