/**
 * Writes the colour tables of `src/core/colour/*.data.ts` from the CSV files of
 * `test/oracles/colour/`. Run `npx tsx tools/colour-tables.ts` after a change there; a test
 * compares them with the checked-in tables.
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { numbers, oracle } from '../test/oracles/colour/read-oracle.ts';

const FIRST_NM = 380;
const LAST_NM = 780;
const LIGHTS = [
  ['D50', 'D50'],
  ['D65', 'D65'],
  ['A', 'A'],
  ['FL11', 'FL11'],
  ['LED-B3', 'LED_B3'],
] as const;

/** 10RP comes before 2.5R on the hue circle: 40 hues from 2.5R to 10RP. */
const HUE_FAMILIES = ['R', 'YR', 'Y', 'GY', 'G', 'BG', 'B', 'PB', 'P', 'RP'];

export interface ColourTable {
  readonly file: string;
  readonly text: string;
}

export function colourTables(): ColourTable[] {
  return [
    { file: 'cie.data.ts', text: cieTables() },
    { file: 'munsell-renotation.data.ts', text: renotationTable() },
    { file: 'iscc-nbs.data.ts', text: isccNbsTable() },
  ];
}

function cieTables(): string {
  const matching = (csv: string) => {
    const rows = oracle(csv).filter((row) => inRange(Number(row.wavelength_nm)));
    return (['x', 'y', 'z'] as const)
      .map((axis) => `  ${axis}: [${rows.map((r) => numbers(r, `${axis}_bar`)[0]).join(',')}],\n`)
      .join('');
  };
  const lights = oracle('illuminants-5nm.csv').filter((row) => inRange(Number(row.wavelength_nm)));
  const lightRows = LIGHTS.map(
    ([name, column]) => `  '${name}': [${lights.map((r) => numbers(r, column)[0]).join(',')}],\n`,
  ).join('');
  const names = LIGHTS.map(([name]) => `'${name}'`).join(' | ');
  return (
    heading(
      'CIE 1931 and 1964 colour-matching functions, 380-780 nm by 1 nm, and the relative power of\n * the lights, 380-780 nm by 5 nm. Source: CIE 15:2018 and CIE 018:2019.',
    ) +
    `export const CIE_FIRST_NM = ${FIRST_NM};\nexport const CIE_LAST_NM = ${LAST_NM};\nexport const LIGHT_STEP_NM = 5;\n\n` +
    `export const CMF_1931: Record<'x' | 'y' | 'z', readonly number[]> = {\n${matching('cmf-1931-2deg-1nm.csv')}};\n\n` +
    `export const CMF_1964: Record<'x' | 'y' | 'z', readonly number[]> = {\n${matching('cmf-1964-10deg-1nm.csv')}};\n\n` +
    `export const LIGHT_POWER: Record<${names}, readonly number[]> = {\n${lightRows}};\n`
  );
}

function renotationTable(): string {
  const rows = oracle('renotation-real.csv');
  const cells = new Map<string, [number, number][]>();
  for (const row of rows) {
    const [hueNumber, value, chroma, x, y] = numbers(row, 'hue_number', 'V', 'C', 'x', 'y');
    const hue = HUE_FAMILIES.indexOf(row.hue_letter) * 4 + hueNumber / 2.5 - 1;
    const key = `${value}/${hue}`;
    const list = cells.get(key) ?? [];
    list[chroma / 2 - 1] = [x, y];
    cells.set(key, list);
  }
  let text = heading(
    'Munsell renotation, colours inside the MacAdam limits: RENOTATION[V - 1][hue] lists x, y for\n * illuminant C, 2 degree, of chroma 2, 4, 6 … in turn. Hue 0 is 2.5R, 1 is 5R … 39 is 10RP.\n * Source: Newhall, Nickerson, Judd, J. Opt. Soc. Am. 33, 385 (1943).',
  );
  text += 'export const RENOTATION: readonly (readonly (readonly number[])[])[] = [\n';
  for (let value = 1; value <= 9; value++) {
    text += '  [\n';
    for (let hue = 0; hue < 40; hue++) {
      const list = cells.get(`${value}/${hue}`) ?? [];
      for (let i = 0; i < list.length; i++) {
        if (list[i] === undefined)
          throw new Error(`gap at V ${value}, hue ${hue}, chroma ${2 * i + 2}`);
      }
      text += `    [${list.flat().join(',')}],\n`;
    }
    text += '  ],\n';
  }
  return `${text}];\n`;
}

function isccNbsTable(): string {
  const rows = oracle('iscc-nbs-centroids.csv').map((row) => {
    const [number, value, chroma] = numbers(row, 'number', 'V', 'C');
    const notation = row.hue === 'N' ? `N ${value}/` : `${row.hue} ${value}/${chroma}`;
    return `  [${number}, '${row.name}', '${notation}'],\n`;
  });
  return (
    heading(
      'ISCC-NBS colour names of level 3: number, name, Munsell notation of the centroid (illuminant C).\n * Source: Kelly, J. Res. NBS 61, 427 (1958).',
    ) +
    `export const ISCC_NBS: readonly (readonly [number, string, string])[] = [\n${rows.join('')}];\n`
  );
}

function heading(what: string): string {
  return `/**\n * ${what}\n * Written by tools/colour-tables.ts; change the CSV and run it again.\n */\n`;
}

function inRange(wavelengthNm: number): boolean {
  return wavelengthNm >= FIRST_NM && wavelengthNm <= LAST_NM;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const { file, text } of colourTables()) {
    writeFileSync(new URL(`../src/core/colour/${file}`, import.meta.url), text);
    console.log(`wrote src/core/colour/${file}`);
  }
}
