import { CLAY_VERSION } from './clay-file.ts';

/** Version 2 named the clays of a model otherwise; its numbers are those of version 3. */
const RENAMED_AFTER = 2;

/**
 * A clay file of version 2 in the shape of today; anything else comes back as it is. The seal is left as
 * it is and belongs to the text that was read.
 */
export function upgradeClayFile(file: unknown): unknown {
  if (!isObject(file) || file.version !== RENAMED_AFTER) return file;
  return Object.fromEntries(
    Object.entries(file).map(([name, value]) => {
      if (name === 'version') return [name, CLAY_VERSION];
      if (name === 'report') return [name, withClays(value)];
      return [name === 'parents' ? 'clays' : name, value];
    }),
  );
}

/** A report, the names in its lists among it. */
function withClays(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withClays);
  if (!isObject(value)) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [
      name === 'parents' ? 'clays' : name === 'parent' ? 'clay' : name,
      withClays(inner),
    ]),
  );
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
