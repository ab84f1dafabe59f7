import { type Random, randomFrom } from '../../bench/random.ts';
import { GRID_NM } from '../../src/core/colour/grid.ts';

/** What tiles are put on when there is no sheet. */
export const TABLES = [
  'white paper',
  'pale planks',
  'dark planks',
  'grey cloth',
  'checked cloth',
  'marble',
  'cutting mat',
] as const;
/** Not used while the reading of photos was developed, only for the final check. */
export const TABLES_HELD_OUT = [
  'oak boards',
  'striped linen',
  'brown paper',
  'green marble',
] as const;
export type TableName = (typeof TABLES)[number] | (typeof TABLES_HELD_OUT)[number];

/** A surface between two materials, and how much of the second is where: 0 to 1, place in mm. */
export interface TableTop {
  readonly materials: readonly [Float64Array, Float64Array];
  readonly mixAt: (x: number, y: number) => number;
}

const spectrum = (at: (nm: number) => number) => Float64Array.from(GRID_NM, at);
/** From blue to red, as wood and cloth rise. */
const rising = (blue: number, red: number) =>
  spectrum((nm) => blue + (red - blue) / (1 + Math.exp((570 - nm) / 45)));
const flat = (v: number) => spectrum(() => v);

const MATERIALS: Readonly<Record<TableName, readonly [Float64Array, Float64Array]>> = {
  'white paper': [flat(0.86), flat(0.8)],
  'pale planks': [rising(0.22, 0.55), rising(0.11, 0.36)],
  'dark planks': [rising(0.06, 0.2), rising(0.03, 0.09)],
  'grey cloth': [flat(0.34), flat(0.24)],
  'checked cloth': [flat(0.72), rising(0.05, 0.45)],
  marble: [flat(0.78), spectrum((nm) => 0.5 - (0.08 * (nm - 550)) / 200)],
  'cutting mat': [
    spectrum((nm) => 0.05 + 0.12 * Math.exp(-0.5 * ((nm - 520) / 40) ** 2)),
    spectrum((nm) => 0.06 + 0.14 * Math.exp(-0.5 * ((nm - 520) / 42) ** 2)),
  ],
  'oak boards': [rising(0.14, 0.46), rising(0.05, 0.2)],
  'striped linen': [rising(0.58, 0.7), spectrum((nm) => 0.3 - (0.12 * (nm - 550)) / 200)],
  'brown paper': [rising(0.2, 0.48), rising(0.16, 0.4)],
  'green marble': [
    spectrum((nm) => 0.12 + 0.1 * Math.exp(-0.5 * ((nm - 530) / 50) ** 2)),
    flat(0.55),
  ],
};

/** The same name and seed give the same table. */
export function tableTop(name: TableName, seed: number): TableTop {
  const random = randomFrom(seed);
  return { materials: MATERIALS[name], mixAt: patternOf(name, random) };
}

function patternOf(name: TableName, random: Random): (x: number, y: number) => number {
  const broad = smoothNoise(random);
  const fine = smoothNoise(random);
  const angle = Math.PI * random.uniform();
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const turned = (x: number, y: number) => [x * cos + y * sin, y * cos - x * sin] as const;
  const held = (v: number) => Math.min(1, Math.max(0, v));
  switch (name) {
    case 'white paper':
      return (x, y) => held(0.3 + 0.15 * fine(x, y));
    case 'pale planks':
    case 'dark planks': {
      const wide = 50 + 50 * random.uniform();
      const tones = Array.from({ length: 32 }, () => random.uniform());
      return (x, y) => {
        const [u, v] = turned(x, y);
        const plank = Math.floor(v / wide);
        if (v / wide - plank < 0.6 / wide) return 1;
        const grain = fine(u / 14 + 31 * plank, v * 0.6) + 0.6 * broad(u / 25, v / 3);
        return held(0.2 + 0.5 * tones[plank & 31] + 0.22 * grain);
      };
    }
    case 'grey cloth':
      return (x, y) => held(0.5 + 0.25 * fine(x * 1.2, y * 1.2) + 0.1 * broad(x / 30, y / 30));
    case 'checked cloth': {
      const step = 12 + 14 * random.uniform();
      return (x, y) => {
        const [u, v] = turned(x, y);
        const dyed = (Math.floor(u / step) & 1) + (Math.floor(v / step) & 1);
        return held(dyed / 2 + 0.06 * fine(x * 1.2, y * 1.2));
      };
    }
    case 'marble':
      return (x, y) => {
        const [u, v] = turned(x, y);
        const vein = Math.abs(Math.sin(u / 38 + 2.2 * broad(x / 45, y / 45) + v / 90));
        return held(0.15 + 0.15 * broad(x / 30, y / 30) + 0.7 * (1 - vein) ** 6);
      };
    case 'cutting mat':
      return (x, y) =>
        ((x % 10) + 10) % 10 < 0.4 || ((y % 10) + 10) % 10 < 0.4 ? 1 : held(0.3 + 0.2 * fine(x, y));
    case 'oak boards': {
      // Short boards, offset from row to row, with rings that bend around knots.
      const [wide, long] = [60 + 30 * random.uniform(), 180 + 120 * random.uniform()];
      const tones = Array.from({ length: 64 }, () => random.uniform());
      return (x, y) => {
        const [u, v] = turned(x, y);
        const row = Math.floor(v / wide);
        const along = u + long * tones[row & 63];
        const board = Math.floor(along / long);
        if (v / wide - row < 0.8 / wide || along / long - board < 0.8 / long) return 1;
        const tone = tones[(row * 7 + board * 13) & 63];
        const rings = Math.sin(v / 2.2 + 3 * broad(u / 70, v / 18) + 9 * tone);
        return held(0.25 + 0.4 * tone + 0.12 * rings + 0.1 * fine(u / 10, v));
      };
    }
    case 'striped linen': {
      const [step, part] = [20 + 25 * random.uniform(), 0.2 + 0.3 * random.uniform()];
      return (x, y) => {
        const [u, v] = turned(x, y);
        const dyed = u / step - Math.floor(u / step) < part ? 0.85 : 0.1;
        return held(dyed + 0.08 * fine(u * 0.9, v * 0.25) + 0.08 * fine(u * 0.25, v * 0.9));
      };
    }
    case 'brown paper':
      return (x, y) => held(0.5 + 0.2 * fine(x / 2, y * 1.5) + 0.25 * broad(x / 60, y / 60));
    case 'green marble':
      return (x, y) => {
        const [u, v] = turned(x, y);
        const vein = Math.abs(Math.sin(u / 55 + 3 * broad(x / 35, y / 35)));
        const other = Math.abs(Math.sin(v / 30 + 2 * fine(x / 25, y / 25)));
        return held(
          0.1 + 0.2 * broad(x / 20, y / 20) + 0.6 * (1 - vein) ** 9 + 0.25 * (1 - other) ** 14,
        );
      };
  }
}

const SIDE = 64;

/** Values about -1 to 1, joined smoothly between whole places. */
function smoothNoise(random: Random): (x: number, y: number) => number {
  const grid = Float64Array.from({ length: SIDE * SIDE }, () => random.uniform() * 2 - 1);
  const at = (i: number, j: number) => grid[(j & (SIDE - 1)) * SIDE + (i & (SIDE - 1))];
  const ease = (t: number) => t * t * (3 - 2 * t);
  return (x, y) => {
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const [s, t] = [ease(x - i), ease(y - j)];
    const top = at(i, j) * (1 - s) + at(i + 1, j) * s;
    const bottom = at(i, j + 1) * (1 - s) + at(i + 1, j + 1) * s;
    return top * (1 - t) + bottom * t;
  };
}
