/**
 * How accurate are readings of real photos of a chart of 24 patches? Each patch is predicted from the
 * others, and compared with its measured colour. Beside it stands a plain linear 3 x 3 in XYZ, fitted to the
 * same patches of the same photo.
 *
 * A folder holds
 *   - photos: JPEG, PNG, TIFF, WebP or HEIC, each with one chart
 *   - chart.csv: the measured colours of that chart, D50 and 2 degrees, one patch a row, with the headings
 *         patch,L,a,b
 *     and A1 to D6 in the first column. Photos of another chart go into another folder.
 *   - left-out.csv, where there is one: patches that do not count, because a finger or a shadow covers
 *     them, with the headings photo,patch.
 *
 * Open data to begin with: the four photos in luimoli/ColorcheckerCalibration (data/mindvision) and
 * pedrodiamel/colorchecker-detection (rec/img-colorchecker.jpg) on GitHub. Their charts were not measured,
 * so --chart "from 2014" or "before 2014" takes the published colours of that edition in place of chart.csv.
 *
 * Run:     npx tsx bench/real-photos.ts FOLDER [--chart "from 2014"]
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Lab } from '../src/core/colour/triples.ts';
import type { SeenPatch } from '../src/core/photo/camera-equations.ts';
import { CHART_VALUES, PATCH_NAMES } from '../src/core/photo/chart-values.ts';
import { correctionFrom } from '../src/core/photo/correction.ts';
import { srgbDecoded, srgbEncoded } from '../src/core/photo/encoding.ts';
import { readPhoto } from '../src/core/photo/read-photo.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { plainLeaveOneOut } from '../test/oracles/photo/plain-three-by-three.ts';
import { mean, quantile } from './random.ts';

const PICTURES = ['.jpg', '.jpeg', '.png', '.tif', '.tiff', '.webp', '.heic'];
/** The light that a chart alone may have from one side to the other. */
const SLOPE_SPREAD = 0.05;

const { values, positionals } = parseArgs({
  options: { chart: { type: 'string' } },
  allowPositionals: true,
});
const [folder] = positionals;
if (folder === undefined) throw new Error('Name a folder of photos.');

const chart = chartOf(folder, values.chart);
const leftOut = existsSync(join(folder, 'left-out.csv')) ? rowsOf('left-out.csv') : [];
const ours: number[] = [];
const plains: number[] = [];
for (const name of readdirSync(folder).sort()) {
  if (!PICTURES.includes(extname(name).toLowerCase())) continue;
  const { picture, colours } = await decodePhoto(
    new Uint8Array(readFileSync(join(folder, name))),
    name,
  );
  const { chart: found, notes } = readPhoto({ picture, colours, layouts: [], chart });
  if (found?.correction === undefined) {
    process.stdout.write(`${name}: no chart was read. ${notes.join(' ')}\n`);
    continue;
  }
  const seen = found.patches.flatMap((patch, i): SeenPatch[] =>
    leftOut.some((row) => row.photo === name && row.patch === patch.name)
      ? []
      : [
          {
            code: patch.light.map(srgbEncoded) as unknown as SeenPatch['code'],
            light: [1, 1, 1],
            u: ((i % 6) - 2.5) / 3,
            v: (Math.floor(i / 6) - 1.5) / 2,
            lab: chart[i],
          },
        ],
  );
  const { heldOut } = correctionFrom(seen, SLOPE_SPREAD);
  // The light as it was read, or as if the codes of the file were linear, whichever suits the plain fit better.
  const labs = seen.map(({ lab }) => lab);
  const plain = [(v: number) => v, srgbDecoded]
    .map((decode) =>
      plainLeaveOneOut(
        seen.map(({ code }) => code.map(decode)),
        labs,
      ),
    )
    .reduce((one, other) => (mean(other) < mean(one) ? other : one));
  ours.push(...heldOut.dE00);
  plains.push(...plain);
  line(name, heldOut.dE00, plain);
  for (const note of notes) process.stdout.write(`  ${note}\n`);
}
if (ours.length > 0) line('all photos', ours, plains);

function line(name: string, read: readonly number[], plain: readonly number[]): void {
  process.stdout.write(
    `${name.padEnd(24)} ${String(read.length).padStart(3)} patches  mean ${mean(read).toFixed(2)}  90th ${quantile(read, 0.9).toFixed(2)}  worst ${Math.max(...read).toFixed(1)}  plain 3 x 3 ${mean(plain).toFixed(2)}  share of it ${(mean(read) / mean(plain)).toFixed(2)}\n`,
  );
}

function chartOf(folder: string, edition: string | undefined): readonly Lab[] {
  if (edition !== undefined) {
    const known = Object.entries(CHART_VALUES).find(([name]) => name === edition);
    if (known === undefined)
      throw new Error(`--chart is ${Object.keys(CHART_VALUES).join(' or ')}.`);
    return known[1];
  }
  if (!existsSync(join(folder, 'chart.csv')))
    throw new Error(
      'The folder has no chart.csv with the measured colours; give --chart "from 2014" or "before 2014".',
    );
  const rows = rowsOf('chart.csv');
  return PATCH_NAMES.map((name): Lab => {
    const row = rows.find(({ patch }) => patch === name);
    const lab = ['L', 'a', 'b'].map((heading) => Number(row?.[heading] || Number.NaN));
    if (!lab.every(Number.isFinite)) throw new Error(`chart.csv has no colour of patch ${name}.`);
    return [lab[0], lab[1], lab[2]];
  });
}

function rowsOf(name: string): readonly Readonly<Record<string, string>>[] {
  const lines = readFileSync(join(folder, name), 'utf8')
    .split(/\r?\n/)
    .filter((one) => one.trim() !== '' && !one.startsWith('#'))
    .map((one) => one.split(',').map((cell) => cell.trim()));
  const [headings, ...rows] = lines;
  return rows.map((cells) => Object.fromEntries(headings.map((h, k) => [h, cells[k] ?? ''])));
}
