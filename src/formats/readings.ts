import { READING_DEFAULTS, type Reading } from '../domain/reading.ts';
import { readingsFromCgatsText } from './cgats.ts';
import type { ReadingsRead } from './reading-rows.ts';
import { readingsFromCsvText } from './readings-csv.ts';
import { textFromBytes } from './text.ts';

/**
 * Readings out of a file of either kind. What is in it decides, never its name: a line that opens
 * with BEGIN_DATA, or a first line that names the standard, makes it CGATS; else it is CSV.
 * `basis` is what parts count where neither row nor file says.
 * Refuses: as the two readers do -> file-unreadable (bad-input)
 */
export function readReadings(
  bytes: Uint8Array,
  fileName: string,
  basis: Reading['basis'] = READING_DEFAULTS.basis,
): ReadingsRead {
  const text = textFromBytes(bytes, fileName);
  const cgats = /^[ \t]*BEGIN_DATA/im.test(text) || /^\s*(?:CGATS|ISO ?28178)/i.test(text);
  return cgats
    ? readingsFromCgatsText(text, fileName, basis)
    : readingsFromCsvText(text, fileName, basis);
}
