import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { inverse, times } from '../colour/matrix.ts';
import { xyzFromLab } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import type { SeenPatch } from './camera-equations.ts';
import { CHART_VALUES } from './chart-values.ts';
import { SRGB_TO_XYZ_D50, srgbEncoded } from './encoding.ts';
import type { Point } from './plane-view.ts';
import { firstFit } from './sort-patches.ts';
import { tableLight } from './table-light.ts';

const [WIDTH, HEIGHT] = [1600, 1200];
const CHART: Point = [350, 900];
const PITCH_PX = 60;
const white = colourWeights('D50', 2).white;
const back = inverse([0, 3, 6].map((at) => SRGB_TO_XYZ_D50.slice(at, at + 3)));

type Surface = (pixel: Point) => readonly [number, number, number];
const CLOTH: Surface = () => [0.3, 0.3, 0.3];

const TONES = [0.3, 0.8, 0.2, 0.7, 0.6, 0.1, 0.9, 0.4];

/** Boards of one wood, which a stain covers more or less. */
const boards: Surface = ([x]) => {
  const tone = TONES[Math.floor(x / 200)];
  return [0.16 + 0.21 * tone, 0.1 + 0.15 * tone, 0.06 + 0.1 * tone];
};

/** A table and a chart on it, under a light by pixel; and the light found. */
function found(light: (pixel: Point) => number, surface = CLOTH) {
  const random = randomFrom(8);
  const centres = Array.from(
    { length: 24 },
    (_, i): Point => [
      CHART[0] + ((i % 6) - 2.5) * PITCH_PX,
      CHART[1] + (Math.floor(i / 6) - 1.5) * PITCH_PX,
    ],
  );
  const patches = centres.map((at, i): SeenPatch => {
    const lab = CHART_VALUES['before 2014'][i];
    const linear = times(back, xyzFromLab(lab, white)).map((v) => 0.6 * light(at) * Math.max(0, v));
    const [r, g, b] = linear.map(srgbEncoded);
    return {
      code: [r, g, b],
      light: [1, 1, 1],
      u: ((i % 6) - 2.5) / 3,
      v: (Math.floor(i / 6) - 1.5) / 2,
      lab,
    };
  });
  const blocks = Array.from({ length: 40 * 30 }, (_, k) => {
    const at: Point = [(k % 40) * 40 + 20, Math.floor(k / 40) * 40 + 20];
    const v = 0.6 * light(at) * (1 + 0.02 * random.normal());
    const [r, g, b] = surface(at).map((share) => v * share * (1 + 0.003 * random.normal()));
    return { at, light: [r, g, b] as const };
  });
  return tableLight(
    { width: WIDTH, height: HEIGHT, codes: new Uint8Array(0) },
    blocks,
    { middle: CHART, pitchPx: PITCH_PX, centres },
    patches,
    firstFit(patches, 0.05),
  );
}

const FAR: Point = [1400, 200];

describe('the light over a table', () => {
  it('is followed to the tiles where it falls off to one side', () => {
    const light = ([x, y]: Point) => Math.exp(-0.0004 * (x - 800) + 0.0003 * (y - 600));
    const { at, shadow } = found(light);
    const far = at(FAR);
    expect(Math.abs(far.log - Math.log(light(FAR) / light(CHART)))).toBeLessThan(0.02);
    expect(shadow.chance).toBeLessThan(0.5);
  });

  it('is followed across the soft edge of a shadow, which is said', () => {
    const light = ([x]: Point) => 1 - 0.35 / (1 + Math.exp(-(x - 900) / 40));
    const { at, shadow } = found(light);
    expect(Math.abs(at(FAR).log - Math.log(light(FAR) / light(CHART)))).toBeLessThan(0.03);
    expect(shadow.chance).toBeGreaterThan(0.9);
    expect(Math.abs(shadow.depth - 0.35)).toBeLessThan(0.08);
  });

  it('follows a second, round shadow by the table close to the tile', () => {
    const light = ([x, y]: Point) => {
      const straight = 1 - 0.3 / (1 + Math.exp((x - 120) / 15));
      return straight * (1 - 0.35 / (1 + Math.exp((Math.hypot(x - 1400, y - 250) - 170) / 15)));
    };
    const there: Point = [1400, 250];
    const { log } = found(light).at(there);
    expect(Math.abs(log - Math.log(light(there) / light(CHART)))).toBeLessThan(0.08);
  });

  it('is no shadow where a lens darkens the corners and lamps fall off', () => {
    const light = ([x, y]: Point) => {
      const [u, v] = [(x - 800) / 800, (y - 600) / 800];
      const lamps = -0.12 * u - 0.19 * v + 0.07 * u * v - 0.3 * v * v - 0.15 * u * u * v;
      return Math.exp(lamps + 0.07 * u ** 3 + 0.1 * u * u - 0.26 * (u * u + 0.7 * v * v) ** 2);
    };
    const { at, shadow } = found(light);
    expect(Math.abs(at(FAR).log - Math.log(light(FAR) / light(CHART)))).toBeLessThan(0.03);
    expect(shadow.chance).toBeLessThan(0.2);
  });

  it('is not mistaken for the tones of boards, whose tint shows them', () => {
    const light = ([x, y]: Point) => Math.exp(-0.0001 * (x - 800) + 0.0001 * (y - 600));
    const { at } = found(light, boards);
    expect(Math.abs(at(FAR).log - Math.log(light(FAR) / light(CHART)))).toBeLessThan(0.08);
    expect(at(FAR).spread).toBeLessThan(0.1);
  });

  it('is followed across a round shadow on boards of many tones, and no board is a shadow', () => {
    const random = randomFrom(4);
    const boards = Array.from({ length: 80 }, () => 0.16 + 0.12 * random.uniform());
    const board = ([x, y]: Point) => {
      const row = Math.floor(y / 220);
      const tone = boards[(7 * row + Math.floor((x + 170 * row) / 520)) % boards.length];
      return [tone, tone, tone] as const;
    };
    const head = ([x, y]: Point) =>
      1 - 0.4 / (1 + Math.exp(-(520 - Math.hypot(x - 1400, y - 200)) / 12));
    const shaded = found(head, board);
    expect(shaded.shadow.chance).toBeGreaterThan(0.8);
    expect(Math.abs(shaded.at(FAR).log - Math.log(0.6))).toBeLessThan(0.12);
    expect(found(() => 1, board).shadow.chance).toBeLessThan(0.5);
  });

  it('is unsure far from the chart where the table says nothing', () => {
    const dark = found(
      () => 1,
      () => [0.001, 0.001, 0.001],
    );
    expect(dark.at(FAR).spread).toBeGreaterThan(0.1);
    expect(dark.at(CHART).spread).toBeLessThan(0.03);
    expect(found(() => 1).at(FAR).spread).toBeLessThan(0.03);
  });
});
