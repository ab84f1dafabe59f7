/**
 * The factors of src/core/clay/data-quality.ts: by type of clay and number of tiles of the least
 * known clay, the factor on the plain Gaussian's variance that makes its 90 % region hold 90 %.
 * Studios here share no seed with bench/honest.ts.
 *
 * Run:     npx tsx bench/widening.ts [--studios 240]
 */
import { parseArgs } from 'node:util';
import { gauss, type Row, studioRows } from './honest.ts';
import { quantile, randomFrom } from './random.ts';

const NINETY = 6.2514;
const { values } = parseArgs({ options: { studios: { type: 'string', default: '240' } } });
const rows: Row[] = [];
for (let s = 0; s < Number(values.studios); s++) rows.push(...studioRows(s, randomFrom(5000 + s)));
console.log('kind     tiles  mixes  factor   first collection, second');
for (const clayClass of [...new Set(rows.map((r) => r.clayClass))].sort()) {
  for (const tiles of [1, 2, 3, 4]) {
    const part = rows.filter(
      (r) => r.clayClass === clayClass && (tiles === 4 ? r.tiles >= 4 : r.tiles === tiles),
    );
    const factor = (some: readonly Row[]) =>
      some.length < 20
        ? '   -'
        : (
            quantile(
              some.map((r) => gauss(r.miss, r.plain).distance),
              0.9,
            ) / NINETY
          ).toFixed(2);
    const [one, two] = [0, 1].map((h) => factor(part.filter((r) => r.studio % 2 === h)));
    console.log(
      `${clayClass.padEnd(8)} ${tiles}${tiles === 4 ? '+' : ' '} ${String(part.length).padStart(8)}    ${factor(part)}   ${one}, ${two}`,
    );
  }
}
