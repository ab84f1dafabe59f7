/**
 * How large is a clay file, and what does keeping its factor to 24 bits cost?
 *
 * Stocks of 10, 48 and 200 clays with five Lab tiles a clay, and measured pastes from spectra. Each
 * is learned, written as `kneadwell learn` writes it, and read again. Printed: bytes of the whole
 * file, a clay, and of its parts; and the largest change of a covariance of the tiles' own mixes,
 * every clay alone and at 1:3 with white, as a share of the original.
 *
 * Run:     npx tsx bench/file-size.ts
 */

import { everydayMixes, type NamedMix } from '../src/core/clay/changes.ts';
import { type ClayModel, modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import { learnReport } from '../src/core/clay/report.ts';
import { PRIOR_HASH, shippedPrior } from '../src/core/clay/shipped-prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { canonicalJson, sha256Of } from '../src/domain/canonical-json.ts';
import {
  bytesFromClayFile,
  clayFileFromBytes,
  clayFileFromModel,
} from '../src/domain/clay-file-codec.ts';
import { modelFromClayFile } from '../src/domain/clay-file-model.ts';
import { countsByKind, reportByKind } from '../src/domain/readings-by-kind.ts';
import { READING_DEFAULTS, type Reading } from '../src/domain/records/reading.ts';
import { readingOf, readPastes } from './pastes.ts';
import { randomFrom } from './random.ts';
import { stockTiles } from './speed.ts';

const TILES_A_CLAY = 5;
const weights = colourWeights('D50', 2);

/** A row of a file, as far as the size of what is learned from it depends on it. */
function rowOf({ tile, parts }: TileReading, i: number): Reading {
  return {
    ...READING_DEFAULTS,
    tile,
    of: parts.map(({ clay, share }) => ({ clay, parts: share })),
    lab: { values: [i, 0, 0], light: 'D50', observer: 2 },
    spread: READING_DEFAULTS.spreadOfLab,
    geometry: 'included',
    partsSpread: 0,
    place: { file: 'tiles.csv', line: i + 2 },
  };
}

function covariances(model: ClayModel, mixes: readonly NamedMix[]): Float64Array[] {
  const predictor = openModel(model);
  const index = new Map(model.clays.map(({ name }, i) => [name, i]));
  return mixes.map(
    (mix) =>
      predictMix(
        predictor,
        mix.map(({ clay, share }) => ({ clay: index.get(clay)!, share })),
        { weights, partsSpread: 0 },
      ).covariance,
  );
}

/** Largest change of an entry, as a share of the root of the two variances it belongs to. */
function largestChange(was: readonly Float64Array[], is: readonly Float64Array[]): number {
  return Math.max(
    ...was.flatMap((c, m) =>
      Array.from(c, (v, i) => {
        const scale = Math.sqrt(c[4 * Math.floor(i / 3)] * c[4 * (i % 3)]);
        return Math.abs(is[m][i] - v) / scale;
      }),
    ),
  );
}

function row(what: string, tiles: readonly TileReading[]): string {
  const fit = fitClays(tiles, shippedPrior());
  const model = modelFromFit(fit);
  const rows = tiles.map(rowOf);
  const counts = countsByKind(rows, fit.set.clays);
  const file = clayFileFromModel(model, {
    madeWith: 'kneadwell 0.0.0',
    basis: 'volume',
    priorHash: PRIOR_HASH,
    readings: {
      files: [{ name: 'tiles.csv', sha256: sha256Of('tiles'), readings: tiles.length }],
      hashes: rows.map((reading) => sha256Of(canonicalJson(reading))),
    },
    report: reportByKind(learnReport(fit), model, rows, counts),
    counts,
  });
  const bytes = bytesFromClayFile(file);
  const back = modelFromClayFile(
    clayFileFromBytes(bytes, 'clay.json'),
    'clay.json',
    shippedPrior(),
    PRIOR_HASH,
  );
  const mixes = [...everydayMixes(model), ...tiles.map(({ parts }) => parts)];
  const change = largestChange(covariances(model, mixes), covariances(back, mixes));
  const clays = model.clays.length;
  const share = (part: unknown) =>
    `${Math.round((100 * JSON.stringify(part).length) / bytes.length)} %`;
  return [
    what.padEnd(6),
    String(clays).padStart(7),
    String(tiles.length).padStart(5),
    String(bytes.length).padStart(9),
    String(Math.round(bytes.length / clays)).padStart(14),
    share(file.factor).padStart(6),
    share(file.report).padStart(6),
    share(file.clays).padStart(7),
    change.toExponential(1).padStart(17),
  ].join('  ');
}

console.log(
  'what    clays  tiles      bytes  bytes a clay  factor  report  clays  covariance moves',
);
for (const clays of [10, 48, 200]) {
  console.log(row('stock', stockTiles(clays, TILES_A_CLAY * clays)));
}
const { tints } = readPastes();
console.log(
  row(
    'pastes',
    tints.map((card) => readingOf(card, 'spectra', randomFrom(1))),
  ),
);
