import { BANDS, GRID_NM } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeightsObserved } from '../src/core/colour/weights.ts';
import { readTable, wavelengthColumns } from '../tools/csv-table.ts';

/** One measured card: grams by paste beside 50 g of white base, and its spectrum. */
export interface PasteCard {
  readonly name: string;
  readonly quality: string;
  readonly grams: ReadonlyMap<string, number>;
  readonly values: Float64Array;
  readonly observed: Uint8Array;
  readonly lab: Lab;
}

const WHITE_GRAMS = 50;
export const WHITE = 'White';

export function readTints(): PasteCard[] {
  const { header, rows } = table('pastes_tints.csv');
  return rows.map((row) => {
    const paste = row[header.indexOf('paste')];
    const grams =
      paste === '' ? [] : [[paste, Number(row[header.indexOf('grams_paste')])] as const];
    return card(row[0], 'ok', new Map(grams), header, row);
  });
}

export function readMixtures(): PasteCard[] {
  const { header, rows } = table('pastes_mixtures.csv');
  return rows.map((row) => {
    const grams = header.flatMap((name, column) =>
      name.startsWith('g_P') && Number(row[column]) > 0
        ? [[name.slice(2), Number(row[column])] as const]
        : [],
    );
    return card(row[0], row[header.indexOf('quality')], new Map(grams), header, row);
  });
}

/** Shares by weight of a card: 50 g of white and its pastes. */
export function sharesOf(card: PasteCard): { clay: string; share: number }[] {
  let total = WHITE_GRAMS;
  for (const grams of card.grams.values()) total += grams;
  return [
    { clay: WHITE, share: WHITE_GRAMS / total },
    ...[...card.grams].map(([clay, grams]) => ({ clay, share: grams / total })),
  ];
}

function table(file: string) {
  return readTable(new URL(`../test/oracles/mixtures/${file}`, import.meta.url));
}

function card(
  name: string,
  quality: string,
  grams: ReadonlyMap<string, number>,
  header: readonly string[],
  row: readonly string[],
): PasteCard {
  const values = new Float64Array(BANDS);
  const observed = new Uint8Array(BANDS);
  for (const { column, nm } of wavelengthColumns(header, 'R')) {
    const band = GRID_NM.indexOf(nm);
    values[band] = Number(row[column]);
    observed[band] = 1;
  }
  const lab = labFromSpectrum(values, colourWeightsObserved('D50', 2, observed));
  return { name, quality, grams, values, observed, lab };
}
