import { createHash } from 'node:crypto';

/** One text for one value: keys sorted by code unit, no spaces, numbers as ECMAScript writes them. */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value)
    .filter(([, v]) => v !== undefined)
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .map(([key, v]) => `${JSON.stringify(key)}:${canonicalJson(v)}`);
  return `{${entries.join(',')}}`;
}

/** SHA-256 in hexadecimal, FIPS 180-4. */
export function sha256Of(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}
