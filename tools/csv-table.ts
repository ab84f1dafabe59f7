import { readFileSync } from 'node:fs';

/** A plain table of the project's own data folders: `#` comments, a header, comma-separated cells. */
export interface Table {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export function readTable(url: URL): Table {
  const lines = readFileSync(url, 'utf8')
    .split(/\r?\n/)
    .filter((line) => line !== '' && !line.startsWith('#'));
  const [header, ...rows] = lines.map((line) => line.split(','));
  return { header, rows };
}

/** Columns such as `R400` or `w400`: index and wavelength of each. */
export function wavelengthColumns(header: readonly string[], prefix: string) {
  const pattern = new RegExp(`^${prefix}(\\d{3})$`);
  return header.flatMap((name, column) => {
    const found = pattern.exec(name);
    return found === null ? [] : [{ column, nm: Number(found[1]) }];
  });
}
