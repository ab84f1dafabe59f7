/**
 * Clays of the invented tide-pool studio of data/demo. Nothing here was measured: absorption and
 * scattering are made-up bumps and edges, mixed by the program's own formula.
 */
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { BANDS, GRID_NM } from '../src/core/colour/grid.ts';
import type { Recipe } from '../src/core/notation/notation.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import { bump, type Curve, edge } from './absorption-curves.ts';

const PHYSICS = { dilution: 0.03, shareExponent: 0, scatteringPerMm: 20 };

const sum =
  (floor: number, ...curves: Curve[]): Curve =>
  (nm) =>
    curves.reduce((total, curve) => total + curve(nm), floor);

interface Clay {
  readonly line: 'Saltmarsh' | 'Brindle' | 'Lantern';
  readonly absorption: Curve;
  readonly scattering: number;
}

export const DEMO_CLAYS: Readonly<Record<string, Clay>> = {
  Foam: { line: 'Saltmarsh', absorption: sum(0.0015, edge(402, 7, 0.25)), scattering: 1 },
  Kelp: {
    line: 'Saltmarsh',
    absorption: sum(0.12, bump(440, 42, 2.6), bump(660, 52, 2.4)),
    scattering: 0.5,
  },
  Lagoon: { line: 'Saltmarsh', absorption: sum(0.03, bump(650, 62, 3.4)), scattering: 0.42 },
  Periwinkle: { line: 'Saltmarsh', absorption: sum(0.04, bump(595, 55, 3.6)), scattering: 0.4 },
  Urchin: { line: 'Brindle', absorption: sum(0.08, bump(555, 48, 4.6)), scattering: 0.32 },
  Anemone: { line: 'Brindle', absorption: sum(0.02, edge(598, 9, 2.9)), scattering: 0.6 },
  Mussel: { line: 'Brindle', absorption: sum(9), scattering: 0.4 },
  Starfish: { line: 'Lantern', absorption: sum(0.02, edge(556, 10, 2.6)), scattering: 0.75 },
  Limpet: { line: 'Lantern', absorption: sum(0.07, edge(512, 20, 1.7)), scattering: 0.9 },
  Barnacle: { line: 'Lantern', absorption: sum(0.03, edge(480, 45, 0.12)), scattering: 1.05 },
};
export const DEMO_NAMES = Object.keys(DEMO_CLAYS);

/** Spectrum of a mix as an instrument without noise would read it. */
export function demoReflectance(recipe: Recipe, geometry: 'included' | 'excluded'): Float64Array {
  const total = recipe.reduce((all, { parts }) => all + parts, 0);
  return mixSlopes(
    recipe.map(({ clay, parts }) => ({
      clay: DEMO_NAMES.indexOf(clay),
      share: parts / total,
    })),
    DEMO_NAMES.map((name) => ({
      absorption: Float64Array.from(GRID_NM, DEMO_CLAYS[name].absorption),
      scattering: new Float64Array(BANDS).fill(DEMO_CLAYS[name].scattering),
    })),
    DEMO_NAMES.map((name) => (name === 'Foam' ? 'white' : 'opaque')),
    PHYSICS,
    claySurface(geometry),
  ).reflectance;
}
