/**
 * Writes data/demo: readings of an invented tide-pool studio, so that users can try the program
 * before they bake a tile. Nothing in them was measured: absorption and scattering are bumps and
 * edges made up here, mixed by the program's own formula, read with seeded noise of 0.5 units an
 * axis and parts cut 3 % unevenly. They show what the program does and prove nothing about it.
 * Run:     npx tsx tools/demo-readings.ts
 */
import { writeFileSync } from 'node:fs';
import { GRID_NM } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { parseRecipe } from '../src/core/notation/notation.ts';
import { DEMO_CLAYS, DEMO_NAMES, demoReflectance } from './demo-clays.ts';

const LAB_NOISE = 0.5;
const PARTS_SPREAD = 0.03;

/** Uniform 0-1, the 32-bit xorshift of Marsaglia (2003). */
let state = 20260;
function uniform(): number {
  state ^= state << 13;
  state ^= state >>> 17;
  state ^= state << 5;
  return (state >>> 0) / 4294967296;
}
function normal(): number {
  return Math.sqrt(-2 * Math.log(uniform() || 1e-9)) * Math.cos(2 * Math.PI * uniform());
}

function reflectanceOf(recipe: string, geometry: 'included' | 'excluded', uneven: boolean) {
  const terms = parseRecipe(recipe).map(({ clay, parts }) => ({
    clay,
    parts: uneven ? parts * Math.exp(PARTS_SPREAD * normal()) : parts,
  }));
  return demoReflectance(terms, geometry);
}

function labCells(recipe: string): string[] {
  const mix = reflectanceOf(recipe, 'excluded', recipe.includes('+'));
  return labFromSpectrum(mix, colourWeights('D50', 2)).map((v) =>
    (v + LAB_NOISE * normal()).toFixed(1),
  );
}

const rows: string[][] = [['tile', 'of', 'state', 'L', 'a', 'b', 'x-line', 'note']];
for (const name of DEMO_NAMES) {
  const line = DEMO_CLAYS[name].line;
  const mixes = [name];
  if (name !== 'Foam') mixes.push(`1 ${name} + 3 Foam`, `1 ${name} + 9 Foam`);
  // A light or yellow clay shows little in white; one dark tile shows more.
  if (['Foam', 'Limpet', 'Barnacle', 'Starfish'].includes(name))
    mixes.push(`16 ${name} + 1 Mussel`);
  mixes.forEach((of, i) => {
    rows.push([`${name} ${i + 1}`, of, 'baked', ...labCells(of), line, '']);
  });
}
for (const [tile, of] of [
  ['Rockpool 1', '2 Limpet + 1 Periwinkle'],
  ['Rockpool 2', '1 Anemone + 2 Barnacle'],
  ['Rockpool 3', '1 Kelp + 1 Limpet + 2 Foam'],
]) {
  rows.push([tile, of, 'baked', ...labCells(of), '', '']);
}
// Unbaked clay is a little darker and duller here; the program skips such rows.
for (const of of ['Kelp', 'Urchin', '1 Kelp + 3 Foam']) {
  const [l, a, b] = labCells(of).map(Number);
  const raw = [l - 2, a * 0.93, b * 0.93].map((v) => v.toFixed(1));
  const tile = rows.find((row) => row[1] === of)?.[0] ?? of;
  rows.push([tile, of, 'raw', ...raw, '', 'before baking']);
}
write('tide-pool.csv', 'L, a, b of an invented studio, written by tools/demo-readings.ts', rows);

const bands = GRID_NM.filter((nm) => nm >= 400 && nm <= 700);
const spectra = [['tile', 'of', 'geometry', ...bands.map((nm) => `R${nm}`)]];
for (const [tile, of] of [
  ['Foam', 'Foam'],
  ['Kelp', 'Kelp'],
]) {
  const mix = reflectanceOf(of, 'included', false);
  const read = bands.map((nm) => mix[GRID_NM.indexOf(nm)] * (1 + 0.002 * normal()));
  spectra.push([`${tile} 1`, of, 'included', ...read.map((v) => v.toFixed(4))]);
}
write('spectra.csv', 'spectra of an invented studio, written by tools/demo-readings.ts', spectra);

function write(name: string, remark: string, table: readonly (readonly string[])[]): void {
  const text = [`# ${remark}`, ...table.map((row) => row.join(','))].join('\n');
  writeFileSync(new URL(`../data/demo/${name}`, import.meta.url), `${text}\n`);
}
