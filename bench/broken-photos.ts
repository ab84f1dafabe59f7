/**
 * 2,000 broken photos: does any crash, hang or fill the memory? Small JPEG, PNG, TIFF, WebP and
 * HEIC files are cut off, overwritten, blotted or joined; each is decoded and, where that gives a
 * picture, read completely.
 * Run:     npx tsx bench/broken-photos.ts [--count 2000] [--seed 1]
 */
import { parseArgs } from 'node:util';
import { AppError } from '../src/core/errors.ts';
import { CHART_VALUES } from '../src/core/photo/chart-values.ts';
import { readPhoto } from '../src/core/photo/read-photo.ts';
import { PAPERS, traySheetLayout } from '../src/core/photo/sheet-layout.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { brokenPhotos } from '../test/faults/broken-photos.ts';
import { randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    count: { type: 'string', default: '2000' },
    seed: { type: 'string', default: '1' },
  },
});
let refused = 0;
let read = 0;
let unforeseen = 0;
let slowestMs = 0;
for (const { bytes, what } of await brokenPhotos(
  randomFrom(Number(values.seed)),
  Number(values.count),
)) {
  const started = performance.now();
  try {
    const { picture, colours } = await decodePhoto(bytes, what);
    readPhoto({
      picture,
      colours,
      layouts: PAPERS.map(traySheetLayout),
      chart: CHART_VALUES['from 2014'],
    });
    read++;
  } catch (thrown) {
    if (thrown instanceof AppError && thrown.kind === 'bad-input') refused++;
    else {
      unforeseen++;
      process.stdout.write(`${what}: ${String(thrown)}\n`);
    }
  }
  slowestMs = Math.max(slowestMs, performance.now() - started);
}
const peakMb = process.resourceUsage().maxRSS / 1024;
process.stdout.write(
  `${refused} refused in words, ${read} read, ${unforeseen} neither; slowest ${slowestMs.toFixed(0)} ms; memory at most ${peakMb.toFixed(0)} MB\n`,
);
