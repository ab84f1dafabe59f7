import { canonicalJson, sha256Of } from './canonical-json.ts';
import type { Reading } from './records/reading.ts';

/** A reading is the same wherever it was written down and whoever looked at it. */
export function hashOfReading({ place: _place, checked: _checked, ...reading }: Reading): string {
  return sha256Of(canonicalJson(reading));
}
