import type { Basis } from '../core/mixes/mix-graph.ts';
import { READING_DEFAULTS } from '../domain/records/reading.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { readingsFromCgatsText } from './cgats.ts';
import type { ReadingsRead } from './reading-rows.ts';
import { readingsFromCsvText } from './readings-csv.ts';

/**
 * Readings from a CSV or CGATS file; `isCgats` decides which. `basis` is what parts count where neither row
 * nor file says.
 * Refuses: as the two readers do -> file-unreadable (bad-input)
 */
export function readReadings(
  bytes: Uint8Array,
  fileName: string,
  basis: Basis = READING_DEFAULTS.basis,
): ReadingsRead {
  const text = textFromBytes(bytes, fileName);
  return isCgats(text)
    ? readingsFromCgatsText(text, fileName, basis)
    : readingsFromCsvText(text, fileName, basis);
}

/**
 * Whether a text is CGATS. The content decides, not the name of the file: a line that begins with
 * BEGIN_DATA, or a first line that names the standard.
 */
export function isCgats(text: string): boolean {
  return /^[ \t]*BEGIN_DATA/im.test(text) || /^\s*(?:CGATS|ISO ?28178)/i.test(text);
}
