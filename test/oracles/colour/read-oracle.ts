import { readFileSync } from 'node:fs';

/** Rows of a CSV beside this file, keyed by its header; its `# ` comment lines are dropped (`#8a3b2c` is data). */
export function oracle(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(name, import.meta.url), 'utf8');
  const lines = text.split(/\r?\n/).filter((line) => line !== '' && !line.startsWith('# '));
  const header = fields(lines[0]);
  return lines.slice(1).map((line) => {
    const cells = fields(line);
    return Object.fromEntries(header.map((key, i) => [key, cells[i] ?? '']));
  });
}

/** Numbers of the columns named, in that order. */
export function numbers(row: Record<string, string>, ...columns: string[]): number[] {
  return columns.map((column) => {
    const value = Number(row[column]);
    if (row[column] === undefined || row[column] === '' || !Number.isFinite(value)) {
      throw new Error(`column ${column} holds "${row[column]}"`);
    }
    return value;
  });
}

/** The R380, R390 … columns of a row as wavelengths and reflectances. */
export function spectrumOf(row: Record<string, string>): { nm: number[]; values: number[] } {
  const columns = Object.keys(row).filter((key) => /^R\d+$/.test(key) && row[key] !== '');
  return { nm: columns.map((key) => Number(key.slice(1))), values: numbers(row, ...columns) };
}

function fields(line: string): string[] {
  return [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)]
    .slice(0, line.endsWith(',') ? undefined : -1)
    .map((m) => m[1].replace(/^"|"$/g, ''));
}
