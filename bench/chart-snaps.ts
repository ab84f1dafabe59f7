/**
 * How often is a chart found in a photo of the chart alone? test/studio-camera/chart-photo.ts
 * renders charts at any angle with one disturbance each: small, smeared, on chequered cloth, under
 * a thumb, beside other lattices of colours; and such lattices with no chart at all.
 *
 * With --correct the charts found are also read: each patch predicted from the others, against a
 * plain linear 3 x 3 in XYZ of the same patches.
 *
 * Run:     npx tsx bench/chart-snaps.ts [--each 10] [--first 1] [--trouble cloth] [--correct]
 */
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { CHART_VALUES } from '../src/core/photo/chart-values.ts';
import { srgbDecoded } from '../src/core/photo/encoding.ts';
import { findChart } from '../src/core/photo/find-chart.ts';
import { pixelOf } from '../src/core/photo/plane-view.ts';
import { readPhoto } from '../src/core/photo/read-photo.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { plainLeaveOneOut } from '../test/oracles/photo/plain-three-by-three.ts';
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
    correct: { type: 'boolean', default: false },
  },
});
const seeds = Array.from({ length: Number(values.each) }, (_, i) => Number(values.first) + i);

/** JPEG of quality 60 to 90, as a phone would save it. */
function jpegOf({ picture }: ChartPicture, seed: number): Promise<Buffer> {
  const { width, height, codes } = picture;
  return sharp(codes, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 60 + (seed % 4) * 10 })
    .toBuffer();
}

async function kept(made: ChartPicture, seed: number) {
  const { width, height } = made.picture;
  const jpeg = await jpegOf(made, seed);
  return { width, height, codes: new Uint8Array(await sharp(jpeg).raw().toBuffer()) };
}

const against: { readonly name: string; readonly ours: number; readonly plain: number }[] = [];

/** Held-out error of a chart, ours and a plain one; undefined where too few patches can be used. */
async function corrected(made: ChartPicture, seed: number, name: string): Promise<void> {
  const { picture, colours } = await decodePhoto(new Uint8Array(await jpegOf(made, seed)), name);
  const { chart } = readPhoto({
    picture,
    colours,
    layouts: [],
    chart: CHART_VALUES['before 2014'],
  });
  if (chart?.correction === undefined) return;
  const plain = plainLeaveOneOut(
    chart.used.map(({ code }) => code.map(srgbDecoded)),
    chart.used.map(({ lab }) => lab),
  );
  against.push({ name, ours: chart.correction.heldOut.mean, plain: mean(plain) });
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
      if (values.correct) await corrected(made, seed, `${trouble} ${seed}`);
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
    `no chart: mistaken for one ${taken} of ${2 * seeds.length}, with a warning ${warned}\n`,
  );
}

if (against.length > 0) {
  const worse = against.filter(({ ours, plain }) => ours > plain);
  process.stdout.write(
    `corrected ${against.length}: held out ${mean(against.map((a) => a.ours)).toFixed(2)}, plain 3 x 3 ${mean(against.map((a) => a.plain)).toFixed(2)}; worse in ${worse.length}: ${worse.map((a) => `${a.name} ${a.ours.toFixed(2)} against ${a.plain.toFixed(2)}`).join(', ')}\n`,
  );
}
