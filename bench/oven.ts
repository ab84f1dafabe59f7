/**
 * Heating through: 40 shapes planned in one run, and how far the answer lies from an independent scheme of
 * finer grid stepped through time. Shapes: sheets, rods and balls of 1 to 60 mm, a third of them over a core.
 * Prints: time of all 40 plans (middle of several runs), the same by the independent scheme and their ratio,
 *         and the largest difference in temperature for a rise of 110 K.
 * Run:    npx tsx bench/oven.ts [--runs 15] [--seed 1]
 */
import { parseArgs } from 'node:util';
import { planBake } from '../src/core/oven/bake-plan.ts';
import { type Bulk, middleAfter, USUAL_HEAT } from '../src/core/oven/clay-heat.ts';
import { type HeatLayer, heatModes, restOfModes } from '../src/core/oven/heat-layers.ts';
import { finiteVolumes } from '../test/oracles/finite-volumes.ts';
import { quantile, randomFrom } from './random.ts';

const RISE = 110;
const SHAPES = 40;
const { values } = parseArgs({
  options: { runs: { type: 'string', default: '15' }, seed: { type: 'string', default: '1' } },
});
const random = randomFrom(Number(values.seed));
const bodies = ['slab', 'cylinder', 'sphere'] as const;
const shapes = Array.from({ length: SHAPES }, (_, i): Bulk => {
  const sizeMm = 1 + 59 * random.uniform();
  const bulk = { body: bodies[i % 3], sizeMm };
  if (i % 3 !== 2 || sizeMm < 4) return bulk;
  return { ...bulk, core: { of: 'foil', sizeMm: sizeMm * (0.3 + 0.5 * random.uniform()) } };
});
const packet = { name: 'Saltmarsh', lowC: 120, highC: 135, minutesPer6Mm: 20 };
const plan = () =>
  planBake({ lines: [packet], stages: [shapes], standsOn: 'tile', air: 'still' }).stages;

const times: number[] = [];
for (let run = 0; run < Number(values.runs); run++) {
  const startMs = performance.now();
  plan();
  times.push(performance.now() - startMs);
}

/** The same body as layers, for the other scheme. */
function layersOf({ sizeMm, core }: Bulk): HeatLayer[] {
  const { conductivityWPerMK, heatJPerM3K } = USUAL_HEAT;
  const inside = (core?.sizeMm ?? 0) / 2000;
  const clay = { thicknessM: sizeMm / 2000 - inside, conductivityWPerMK, heatJPerM3K };
  if (core === undefined) return [clay];
  return [{ thicknessM: inside, conductivityWPerMK: 2, heatJPerM3K: 800 * 900 }, clay];
}

let worst = 0;
const slowStartMs = performance.now();
for (const shape of shapes) {
  const layers = layersOf(shape);
  const seconds = 60 * (3 + shape.sizeMm);
  const ends = { cells: 200, steps: 600 };
  const fine = finiteVolumes(shape.body, layers, USUAL_HEAT.transferWPerM2K, seconds, ends);
  const asked = { fromC: RISE, ovenC: 0, minutes: seconds / 60 };
  const ours =
    shape.core === undefined
      ? middleAfter(shape, USUAL_HEAT, asked)
      : RISE * restOfModes(heatModes(shape.body, layers, USUAL_HEAT.transferWPerM2K), seconds);
  worst = Math.max(worst, Math.abs(ours - RISE * fine));
}
// A plan asks every shape twice: at its slow and at its fast end.
const slowMs = (performance.now() - slowStartMs) * 2;
const ourMs = quantile(times, 0.5);
console.log(`${SHAPES} shapes planned in ${ourMs.toFixed(1)} ms (middle of ${values.runs} runs)`);
console.log(
  `one moment of each by the independent scheme, twice: ${slowMs.toFixed(0)} ms, ${(slowMs / ourMs).toFixed(0)} times as long`,
);
console.log(`largest difference in temperature: ${worst.toFixed(4)} K of ${RISE} K`);
