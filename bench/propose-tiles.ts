/**
 * Are tiles on a table proposed where they lie? test/studio-camera renders tables of wood, cloth, paper,
 * marble and a cutting mat with 3 to 60 tiles, scattered or touching, round, stamped or plain, under light that
 * is even, falls off to one side, or has a soft shadow, with a chart beside them or without.
 *
 * Run:     npx tsx bench/propose-tiles.ts [--each 1] [--first 1] [--held-out] [--clutter] [--verbose]
 */
import { parseArgs } from 'node:util';
import { findChart } from '../src/core/photo/find-chart.ts';
import { proposeTiles } from '../src/core/photo/propose-tiles.ts';
import { decodePhoto } from '../src/imaging/decode-photo.ts';
import { matchPlaces } from '../test/studio-camera/match-places.ts';
import { photographOf } from '../test/studio-camera/photograph.ts';
import { TABLE_LIGHTS, tableScene } from '../test/studio-camera/table-scene.ts';
import { TABLES, TABLES_HELD_OUT } from '../test/studio-camera/table-top.ts';
import { randomFrom } from './random.ts';

const COUNTS = [3, 12, 30, 60] as const;
const { values } = parseArgs({
  options: {
    each: { type: 'string', default: '1' },
    first: { type: 'string', default: '1' },
    'held-out': { type: 'boolean', default: false },
    clutter: { type: 'boolean', default: false },
    verbose: { type: 'boolean', default: false },
  },
});

interface Row {
  readonly table: string;
  readonly arrangement: string;
  readonly tiles: number;
  readonly found: number;
  readonly wrong: number;
}
const tables = values['held-out'] ? TABLES_HELD_OUT : TABLES;
const rows: Row[] = [];
let seed = Number(values.first);
for (let round = 0; round < Number(values.each); round++) {
  for (const table of tables) {
    for (const arrangement of ['scattered', 'touching'] as const) {
      for (const tiles of COUNTS) {
        const random = randomFrom(seed++);
        const scene = tableScene(random, {
          table,
          arrangement,
          tiles,
          light: TABLE_LIGHTS[seed % 3],
          beside: seed % 2 === 0 ? 'chart' : 'nothing',
          heldOut: values['held-out'],
          clutter: values.clutter,
        });
        const photo = await photographOf(scene, random);
        const { picture } = await decodePhoto(photo.bytes, 'scene');
        const chart = findChart(picture);
        const started = performance.now();
        const proposed = proposeTiles(picture, chart === undefined ? [] : [chart.view]);
        const ms = performance.now() - started;
        const matched = matchPlaces(
          photo,
          proposed.map(({ at }) => at),
        );
        const all = scene.tiles.filter(({ at }) => at !== undefined).length;
        const found = matched.filter((place) => place !== undefined).length;
        const wrong = matched.length - found;
        rows.push({ table, arrangement, tiles: all, found, wrong });
        if (values.verbose) {
          console.log(
            `${seed - 1} ${table}, ${arrangement}, ${TABLE_LIGHTS[seed % 3]}: ${found} of ${all}, ${wrong} wrong, ${ms.toFixed(0)} ms`,
          );
        }
      }
    }
  }
}

function line(name: string, group: readonly Row[]): void {
  const sum = (of: (row: Row) => number) => group.reduce((total, row) => total + of(row), 0);
  const [all, found, wrong] = [sum((r) => r.tiles), sum((r) => r.found), sum((r) => r.wrong)];
  console.log(
    `${name.padEnd(24)} ${group.length} photos, ${all} tiles: ${((100 * found) / all).toFixed(1)} % found, ${((100 * wrong) / Math.max(1, found + wrong)).toFixed(1)} % of the proposals wrong`,
  );
}
for (const arrangement of ['scattered', 'touching']) {
  line(
    arrangement,
    rows.filter((row) => row.arrangement === arrangement),
  );
  for (const table of tables)
    line(
      `  ${table}`,
      rows.filter((row) => row.arrangement === arrangement && row.table === table),
    );
}
line('all', rows);
