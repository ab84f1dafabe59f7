import { BANDS, GRID_NM } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { readTable, type Table, wavelengthColumns } from '../tools/csv-table.ts';

/** One brushed layer on the paper, 36 bands; one paint or two. */
export interface Layer {
  readonly parts: readonly { readonly paint: string; readonly volumeMl: number }[];
  readonly totalMl: number;
  readonly reflectance: Float64Array;
  /** Measured for layers of one paint only. */
  readonly transmittance?: Float64Array;
  /** D50, 2 degree. */
  readonly lab: Lab;
}

export interface Watercolours {
  /** Paint code -> name in the trade. */
  readonly names: ReadonlyMap<string, string>;
  readonly paper: Float64Array;
  /** Layers of one paint, 11 volumes each. */
  readonly primaries: readonly Layer[];
  readonly mixtures: readonly Layer[];
}

export const WEIGHTS = colourWeights('D50', 2);

/** The three tables of test/oracles/mixtures/watercolour_*.csv; their 740-780 nm are not read. */
export function readWatercolours(): Watercolours {
  const primaries = table('primaries');
  const mixtures = table('mixtures');
  const paper = table('paper');
  const cell = ({ header }: Table, row: readonly string[], name: string) =>
    row[header.indexOf(name)];
  return {
    names: new Map(
      primaries.rows.map((row) => [cell(primaries, row, 'paint'), cell(primaries, row, 'name')]),
    ),
    paper: spectrum(paper, paper.rows[0], 'R'),
    primaries: primaries.rows.map((row) => {
      const volumeMl = Number(cell(primaries, row, 'volume_ml'));
      const reflectance = spectrum(primaries, row, 'R');
      return {
        parts: [{ paint: cell(primaries, row, 'paint'), volumeMl }],
        totalMl: volumeMl,
        reflectance,
        transmittance: spectrum(primaries, row, 'T'),
        lab: labFromSpectrum(reflectance, WEIGHTS),
      };
    }),
    mixtures: mixtures.rows.map((row) => {
      const reflectance = spectrum(mixtures, row, 'R');
      const parts = ['a', 'b'].map((which) => ({
        paint: cell(mixtures, row, `paint_${which}`),
        volumeMl: Number(cell(mixtures, row, `volume_${which}_ml`)),
      }));
      return {
        parts,
        totalMl: Math.round(1e6 * (parts[0].volumeMl + parts[1].volumeMl)) / 1e6,
        reflectance,
        lab: labFromSpectrum(reflectance, WEIGHTS),
      };
    }),
  };
}

function table(name: string): Table {
  return readTable(new URL(`../test/oracles/mixtures/watercolour_${name}.csv`, import.meta.url));
}

function spectrum({ header }: Table, row: readonly string[], prefix: string): Float64Array {
  const out = new Float64Array(BANDS);
  for (const { column, nm } of wavelengthColumns(header, prefix)) {
    const band = GRID_NM.indexOf(nm);
    if (band >= 0) out[band] = Number(row[column]);
  }
  return out;
}
