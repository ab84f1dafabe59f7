/**
 * How accurate are readings of tiles on a table, with a chart beside them and no sheet, and of
 * tiles beside the sheet in its photo? test/studio-camera renders tables of wood, cloth, paper,
 * marble and a cutting mat, under light that is even, falls off to one side, or has a soft shadow.
 * --held-out: tables, cameras, the copy of the chart and shapes of shadows that were not used in
 * development.
 *
 * Run:     npx tsx bench/table-photos.ts [--each 2] [--first 1] [--held-out] [--tiles 12]
 *          [--beside chart|sheet|nothing] [--dark-and-glossy] [--touching] [--verbose]
 */
import { parseArgs } from 'node:util';
import { photographOf, type SceneScore, scoreScene } from '../test/studio-camera/photograph.ts';
import {
  TABLE_LIGHTS,
  type TableChoice,
  type TableLight,
  tableScene,
} from '../test/studio-camera/table-scene.ts';
import { TABLES, TABLES_HELD_OUT } from '../test/studio-camera/table-top.ts';
import { mean, quantile, randomFrom } from './random.ts';

const WRONG_DE = 3;

const { values } = parseArgs({
  options: {
    each: { type: 'string', default: '2' },
    first: { type: 'string', default: '1' },
    'held-out': { type: 'boolean', default: false },
    tiles: { type: 'string', default: '12' },
    beside: { type: 'string', default: 'chart' },
    'dark-and-glossy': { type: 'boolean', default: false },
    touching: { type: 'boolean', default: false },
    verbose: { type: 'boolean', default: false },
  },
});
const beside = (['chart', 'sheet', 'nothing'] as const).find((name) => name === values.beside);
if (beside === undefined) throw new Error(`--beside cannot be ${values.beside}`);
const tables = values['held-out'] ? TABLES_HELD_OUT : TABLES;

interface Row {
  readonly light: TableLight;
  readonly table: string;
  readonly score: SceneScore;
}

const rows: Row[] = [];
let seed = Number(values.first);
for (let round = 0; round < Number(values.each); round++) {
  for (const table of tables) {
    for (const light of TABLE_LIGHTS) {
      const choice: TableChoice = {
        table,
        light,
        beside,
        tiles: Number(values.tiles),
        arrangement: values.touching ? 'touching' : 'scattered',
        heldOut: values['held-out'],
        darkAndGlossy: values['dark-and-glossy'],
        pairs: beside === 'nothing',
      };
      const random = randomFrom(seed++);
      const photo = await photographOf(tableScene(random, choice), random);
      const score = await scoreScene(photo, beside !== 'nothing');
      rows.push({ light, table, score });
      if (values.verbose) {
        const good = score.tiles.filter((t) => !t.poor);
        process.stdout.write(
          `${seed - 1} ${table}, ${light}: mean ${mean(good.map((t) => t.dE00)).toFixed(2)}, poor ${score.tiles.length - good.length} of ${score.tiles.length}, ${score.readMs.toFixed(0)} ms  ${score.read.notes.join(' ')}\n`,
        );
        for (const { place, dE00, got, truth } of good.filter(
          (t) => !t.within99 && t.dE00 > WRONG_DE,
        )) {
          const marks = score.read.tiles.find(({ name }) => name === place)?.marks ?? [];
          process.stdout.write(
            `  ${place} wrong by ${dE00.toFixed(1)}, ${got.map((v) => v.toFixed(0))} for ${truth.map((v) => v.toFixed(0))}: ${marks.map(({ reason }) => reason).join('; ')}\n`,
          );
        }
      }
    }
  }
}

/** Tiles on the table; those on the sheet belong to bench/photo-scenes.ts. */
const onTable = ({ scene, tiles }: SceneScore) =>
  tiles.filter(({ place }) => scene.tiles.find((t) => t.place === place)?.at !== undefined);

function line(name: string, group: readonly Row[]): void {
  const all = group.flatMap(({ score }) => onTable(score));
  const read = all.filter((t) => !t.poor);
  if (read.length === 0) return;
  const errors = read.map((t) => t.dE00);
  const sure = read.filter((t) => !t.within99 && t.dE00 > WRONG_DE).length;
  const missed = group.reduce((sum, { score }) => sum + score.missed, 0);
  process.stdout.write(
    `${name.padEnd(16)} ${String(group.length).padStart(3)} photos ${String(read.length).padStart(4)} tiles  mean ${mean(errors).toFixed(2)}  90th ${quantile(errors, 0.9).toFixed(2)}  worst ${Math.max(...errors).toFixed(1)}  in 90 % region ${((100 * read.filter((t) => t.inside).length) / read.length).toFixed(0)} %  certainly wrong ${sure}  poor ${all.length - read.length}  missed ${missed}  said ${group.filter(({ score }) => score.read.notes.length > 0).length}\n`,
  );
}

for (const light of TABLE_LIGHTS) {
  line(
    light,
    rows.filter((row) => row.light === light),
  );
}
for (const table of tables) {
  line(
    table,
    rows.filter((row) => row.table === table),
  );
}
line('all', rows);
const pairs = rows.flatMap(({ score }) => score.pairs);
if (pairs.length > 0) {
  const wrong = pairs.map((p) => Math.abs(p.gotDE - p.trueDE));
  process.stdout.write(
    `pairs closer than 10: ${pairs.length}, difference wrong by ${mean(wrong).toFixed(2)}, 90th ${quantile(wrong, 0.9).toFixed(2)}, in 90 % region ${((100 * pairs.filter((p) => p.inside).length) / pairs.length).toFixed(0)} %\n`,
  );
}
