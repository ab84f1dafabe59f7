/**
 * How long the plain search takes.
 *
 * Run: npx tsx bench/plain-search-time.ts [--clays 24] [--most 4] [--parts 12] [--aims 3]
 */
import { parseArgs } from 'node:util';
import { plainSearch } from './plain-search.ts';
import { seededAims, stockPlain, stockPredictor } from './stock.ts';

const { values } = parseArgs({
  options: {
    clays: { type: 'string', default: '24' },
    most: { type: 'string', default: '4' },
    parts: { type: 'string', default: '12' },
    aims: { type: 'string', default: '3' },
  },
});
const [clays, mostClays, parts, aims] = [values.clays, values.most, values.parts, values.aims].map(
  Number,
);
const predictor = stockPredictor(clays);
const stock = stockPlain(predictor);
for (const { kind, lab } of seededAims(predictor, aims, 1)) {
  const start = performance.now();
  const { best, tried } = plainSearch({ ...stock, aim: lab, mostClays, parts });
  const seconds = (performance.now() - start) / 1000;
  console.log(
    `${kind.padEnd(7)} ${lab.map((v) => v.toFixed(1)).join(' ')}: best ${best[0].dE00.toFixed(4)}, ${tried} recipes in ${seconds.toFixed(2)} s, ${((seconds / tried) * 1e6).toFixed(3)} us each`,
  );
}
