import type { Pigment } from '../src/core/clay/prior-from-pigments.ts';
import { BANDS, GRID_NM } from '../src/core/colour/grid.ts';
import { readTable, wavelengthColumns } from './csv-table.ts';

export const PIGMENT_FILES = ['acrylic27_KS.csv', 'acrylic19_KS.csv'] as const;

/** The measured paints of data/pigments, cut to the program's own grid. */
export function readPigments(
  files: readonly string[] = PIGMENT_FILES,
): (Pigment & { file: string })[] {
  return files.flatMap((file) => {
    const { header, rows } = readTable(new URL(`../data/pigments/${file}`, import.meta.url));
    const columns = wavelengthColumns(header, 'w');
    const kind = header.indexOf('coefficient');
    const curve = (name: string, coefficient: string) => {
      const row = rows.find((r) => r[0] === name && r[kind] === coefficient);
      if (row === undefined) throw new Error(`${file}: no ${coefficient} of ${name}`);
      return Float64Array.from({ length: BANDS }, (_, band) => {
        const at = columns.find(({ nm }) => nm === GRID_NM[band]);
        if (at === undefined) throw new Error(`${file}: no band at ${GRID_NM[band]} nm`);
        return Number(row[at.column]);
      });
    };
    return [...new Set(rows.map((r) => r[0]))].map((name) => ({
      file,
      name,
      absorption: curve(name, 'K'),
      scattering: curve(name, 'S'),
    }));
  });
}
