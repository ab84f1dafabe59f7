// npm run fuzz [-- --inputs 200000 --seed 1]: damaged input into importers and endpoints, half and half.
import { parseArgs } from 'node:util';
import { fuzzEndpoints } from '../test/faults/fuzz/endpoints.ts';
import { fuzzImporters } from '../test/faults/fuzz/importers.ts';

/** Memory of the whole run, with the program, must stay below this. */
const MOST_RSS_MB = 1500;

const { values } = parseArgs({
  options: {
    inputs: { type: 'string', default: '200000' },
    seed: { type: 'string', default: '1' },
  },
});
const inputs = Number(values.inputs);
const seed = Number(values.seed);
const from = performance.now();
let mostRss = 0;
const watch = setInterval(() => {
  mostRss = Math.max(mostRss, process.memoryUsage().rss);
}, 200);
const half = Math.ceil(inputs / 2);
const imports = fuzzImporters(half, seed);
console.log(
  `importers: ${imports.inputs} inputs, ${imports.taken} taken, ${imports.refused} refused, slowest ${imports.slowestMs.toFixed(0)} ms`,
);
const endpoints = await fuzzEndpoints(inputs - half, seed);
const statuses = [...endpoints.answers].sort(([one], [other]) => one - other);
console.log(
  `endpoints: ${endpoints.inputs} inputs, slowest ${endpoints.slowestMs.toFixed(0)} ms; answers ${statuses.map(([status, count]) => `${status}: ${count}`).join(', ')}`,
);
clearInterval(watch);
mostRss = Math.max(mostRss, process.memoryUsage().rss) / 2 ** 20;
console.log(
  `${inputs} inputs in ${((performance.now() - from) / 1000).toFixed(0)} s, seed ${seed}; at most ${mostRss.toFixed(0)} MB`,
);
if (mostRss > MOST_RSS_MB) {
  console.error(`the memory grew beyond ${MOST_RSS_MB} MB`);
  process.exitCode = 1;
}
