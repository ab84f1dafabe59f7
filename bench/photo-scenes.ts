/**
 * How accurate are readings of rendered photos? test/studio-camera renders trays of tiles mixed
 * from measured paints, with a chart of measured spectra, through cameras, lights, lenses and JPEG.
 *
 * Chart values are the published ones of the edition before 2014, while the chart rendered is the
 * mean of 30 charts: they differ by 0.5 dE00 on average, as users' charts do. Scenes on which the
 * reader itself says that a shadow lies over the sheet are listed separately. --casters: every
 * photo has one or two shadows of shapes that the reader does not fit, half of them with an edge
 * over a tile.
 *
 * Run:     npx tsx bench/photo-scenes.ts [--scenes 200] [--first 1] [--held-out] [--no-chart]
 *          [--casters]
 */
import { parseArgs } from 'node:util';
import { pixelOf } from '../src/core/photo/plane-view.ts';
import { photograph, type SceneScore, scoreScene } from '../test/studio-camera/photograph.ts';
import type { LightKind } from '../test/studio-camera/scene.ts';
import { mean, quantile } from './random.ts';

const WRONG_DE = 3;
const KINDS: readonly LightKind[] = ['D65', 'LED-B3', 'A', 'FL11', 'mixed'];

const { values } = parseArgs({
  options: {
    scenes: { type: 'string', default: '200' },
    first: { type: 'string', default: '1' },
    'held-out': { type: 'boolean', default: false },
    'no-chart': { type: 'boolean', default: false },
    casters: { type: 'boolean', default: false },
    verbose: { type: 'boolean', default: false },
  },
});

const chart = !values['no-chart'];
const scores: { kind: LightKind; score: SceneScore }[] = [];
for (let i = 0; i < Number(values.scenes); i++) {
  const seed = Number(values.first) + i;
  const kind = KINDS[seed % KINDS.length];
  const photo = await photograph(seed, kind, {
    heldOut: values['held-out'],
    chart,
    casters: values.casters,
  });
  const score = await scoreScene(photo, chart);
  scores.push({ kind, score });
  if (values.verbose) {
    const { scene, tiles, read } = score;
    process.stdout.write(
      `${seed} ${kind} ${scene.camera.name} ${scene.output} mean ${mean(tiles.map((t) => t.dE00)).toFixed(2)} worst ${tiles
        .toSorted((a, b) => b.dE00 - a.dE00)
        .slice(0, 1)
        .map(
          (t) => `${t.place}${t.poor ? ' (poor)' : ''} ${t.dE00.toFixed(1)}`,
        )} ${scene.shadow === undefined ? '' : 'S'}${scene.hand === undefined ? '' : 'H'} ${read.notes.join(' ')}\n`,
    );
  }
}

const warned = ({ read }: SceneScore) => read.notes.some((note) => note.includes('shadow'));
const line = (name: string, group: readonly SceneScore[]) => {
  const tiles = group.flatMap((s) => s.tiles.filter((t) => !t.poor));
  if (tiles.length === 0) return;
  const errors = tiles.map((t) => t.dE00);
  process.stdout.write(
    `${name.padEnd(24)} ${String(group.length).padStart(3)} scenes ${String(tiles.length).padStart(4)} tiles  mean ${mean(errors).toFixed(2)}  90th ${quantile(errors, 0.9).toFixed(2)}  worst ${Math.max(...errors).toFixed(1)}  in 90 % region ${((100 * tiles.filter((t) => t.inside).length) / tiles.length).toFixed(1)} %\n`,
  );
};
for (const kind of KINDS) {
  line(
    kind,
    scores.filter((s) => s.kind === kind && !warned(s.score)).map((s) => s.score),
  );
}
for (const kind of KINDS) {
  line(
    `${kind}, shadows too`,
    scores.filter((s) => s.kind === kind).map((s) => s.score),
  );
}
line(
  'shadow over the sheet',
  scores.filter((s) => warned(s.score)).map((s) => s.score),
);
line(
  'all',
  scores.map((s) => s.score),
);
for (const name of new Set(scores.map(({ score }) => score.scene.camera.name))) {
  line(
    `  ${name}`,
    scores
      .filter((s) => s.score.scene.camera.name === name && !warned(s.score))
      .map((s) => s.score),
  );
}
const all = scores.flatMap(({ score }) => score.tiles);
const sure = all.filter((t) => !t.poor && !t.within99 && t.dE00 > WRONG_DE);
process.stdout.write(
  `certainly wrong (by more than ${WRONG_DE}, outside the 99 % region, not marked poor): ${sure.length} of ${all.length} tiles; marked poor ${all.filter((t) => t.poor).length}\n`,
);
const pairs = scores.flatMap(({ score }) => score.pairs);
const wrong = pairs.map((p) => Math.abs(p.gotDE - p.trueDE));
process.stdout.write(
  `pairs closer than 10 dE00: ${pairs.length}, difference wrong by ${mean(wrong).toFixed(2)} on average, 90th ${quantile(wrong, 0.9).toFixed(2)}; in 90 % region ${((100 * pairs.filter((p) => p.inside).length) / pairs.length).toFixed(1)} %\n`,
);
const sheetMiss = scores.flatMap(({ score: { read, scene, rendered } }) => {
  const { sheet } = read;
  if (sheet === undefined) return [];
  const misses = scene.layout.places.map(({ centre }) => {
    const a = pixelOf(sheet.view, centre);
    const b = pixelOf(rendered.view, centre);
    return Math.hypot(a[0] - b[0], a[1] - b[1]);
  });
  return [Math.max(...misses)];
});
process.stdout.write(
  `sheets found ${sheetMiss.length} of ${scores.length}, places within ${Math.max(...sheetMiss).toFixed(1)} pixels; charts ${scores.filter(({ score }) => score.read.chart?.correction !== undefined).length}; tiles missed ${scores.reduce((sum, s) => sum + s.score.missed, 0)}, empty places read ${scores.reduce((sum, s) => sum + s.score.ghosts, 0)}; reading took ${mean(scores.map((s) => s.score.readMs)).toFixed(0)} ms\n`,
);
