/**
 * How often is a chart that was snapped by itself found? test/studio-camera/chart-photo.ts renders charts
 * at any turn with one trouble each: small, smeared, on chequered cloth, under a thumb, beside other
 * lattices of colours; and such lattices with no chart at all.
 *
 * Run: npx tsx bench/chart-snaps.ts [--each 10] [--first 1] [--trouble cloth]
 */
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { findChart } from '../src/core/photo/find-chart.ts';
import { pixelOf } from '../src/core/photo/plane-view.ts';
import {
  type ChartPicture,
  latticeOf,
  renderChartPhoto,
  snappedChart,
  TROUBLES,
} from '../test/studio-camera/chart-photo.ts';
import { mean, randomFrom } from './random.ts';

/** A quarter of a patch, in pitches. */
const QUARTER = 0.85 / 4;
const GROUNDS = ['plain', 'wood', 'cloth', 'screen', 'clutter'] as const;

const { values } = parseArgs({
  options: {
    each: { type: 'string', default: '10' },
    first: { type: 'string', default: '1' },
    trouble: { type: 'string' },
  },
});
const seeds = Array.from({ length: Number(values.each) }, (_, i) => Number(values.first) + i);

/** As a telephone would keep it, JPEG of 60 to 90. */
async function kept({ picture }: ChartPicture, seed: number) {
  const { width, height, codes } = picture;
  const jpeg = await sharp(codes, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 60 + (seed % 4) * 10 })
    .toBuffer();
  return { width, height, codes: new Uint8Array(await sharp(jpeg).raw().toBuffer()) };
}

for (const [index, trouble] of TROUBLES.entries()) {
  if (values.trouble !== undefined && values.trouble !== trouble) continue;
  const offs: number[] = [];
  const took: number[] = [];
  let [found, wrong, warned] = [0, 0, 0];
  for (const seed of seeds) {
    const random = randomFrom(seed * 100 + index);
    const made = renderChartPhoto(snappedChart(random, trouble), random);
    const picture = await kept(made, seed);
    const started = performance.now();
    const chart = findChart(picture);
    took.push(performance.now() - started);
    if (chart === undefined) continue;
    const off = Math.max(
      ...made.patches.map(([x, y], i) => {
        const [px, py] = pixelOf(chart.view, [i % 6, Math.floor(i / 6)]);
        return Math.hypot(px - x, py - y) / made.pitchPx;
      }),
    );
    if (off < QUARTER) {
      found++;
      offs.push(off);
    } else if (chart.doubts.length > 0) warned++;
    else wrong++;
  }
  process.stdout.write(
    `${trouble.padEnd(14)} found ${found} of ${seeds.length}, wrong with a warning ${warned}, without ${wrong}; centres off by up to ${Math.max(0, ...offs).toFixed(3)} of a pitch; ${mean(took).toFixed(0)} ms\n`,
  );
}

if (values.trouble === undefined) {
  let [taken, warned] = [0, 0];
  for (const seed of seeds.flatMap((s) => [2 * s, 2 * s + 1])) {
    const random = randomFrom(seed * 7 + 3);
    const base = snappedChart(random, 'none');
    const ground = GROUNDS[seed % GROUNDS.length];
    const decoy =
      ground === 'cloth' || ground === 'screen'
        ? undefined
        : latticeOf(random, base.widthPx, base.heightPx);
    const made = renderChartPhoto({ ...base, chart: false, ground, decoy }, random);
    const chart = findChart(await kept(made, seed));
    if (chart !== undefined) {
      if (chart.doubts.length > 0) warned++;
      else taken++;
    }
  }
  process.stdout.write(
    `no chart: taken for one ${taken} of ${2 * seeds.length}, with a warning ${warned}\n`,
  );
}
