/**
 * How likely the first recipe is beside the likeliest one listed, over seeded colours on the demo studio's
 * 50 clays, asked of the verb that the page, the server and the command line ask.
 *
 * Listed are the recipes of all four orders, the alternatives and the frontier. `--wider` compares with the
 * likeliest of the 1000 closest too, which nobody is shown.
 *
 * Run: npx tsx bench/first-recipe.ts [colours] [--seconds N] [--wider]
 */

import { labFromLch } from '../src/core/colour/spaces.ts';
import type { FoundRecipe } from '../src/core/find/find-answer.ts';
import { ORDERS } from '../src/core/find/recipe-order.ts';
import { find } from '../src/verbs/find.ts';
import { openClay } from '../src/verbs/open-clay.ts';
import { asked } from '../src/verbs/verb.ts';
import { UNSTOPPED } from '../test/conformance/demo-clay.ts';
import { done, running } from '../test/server/running.ts';
import { quantile, randomFrom } from './random.ts';

const wider = process.argv.includes('--wider');
const COLOURS = Number(process.argv[2] ?? 40) || 40;
const secondsAt = process.argv.indexOf('--seconds');
/** A search that is not over by then answers with its best so far, as on the page when stopped. */
const MOST_SECONDS = secondsAt < 0 ? 60 : Number(process.argv[secondsAt + 1]);

const here = await running();
await here.client.call('moveDemoIn', {});
const { result } = await done(here.client, { do: 'learn', name: 'Learned from the demo tiles' });
const { body } = await here.client.call('clayBytes', {
  params: { id: String(result?.clayModelId) },
});
await here.end();
const bytes = body instanceof Uint8Array ? body : new TextEncoder().encode(JSON.stringify(body));
const clay = openClay(bytes, 'clay.json');

const random = randomFrom(40);
/** Colours people ask for: of all hues, neither black nor white, from dull to as strong as paint. */
const aims = Array.from({ length: COLOURS }, () =>
  labFromLch([25 + 60 * random.uniform(), 55 * random.uniform(), 360 * random.uniform()]),
);
const ask = async (aim: readonly number[], more: object) =>
  (await asked(find.ask(clay, { aim, mostSeconds: MOST_SECONDS, ...more }), UNSTOPPED)).answer;
const best = (recipes: readonly FoundRecipe[]) =>
  recipes.reduce((most, { chance }) => Math.max(most, chance), 0);

const ratios: number[] = [];
const widerRatios: number[] = [];
for (const [i, aim] of aims.entries()) {
  const answers = [];
  for (const order of ORDERS) answers.push(await ask(aim, { order }));
  const listed = answers.flatMap(({ recipes, alternatives, frontier }) => [
    ...recipes,
    ...alternatives.map(({ recipe }) => recipe),
    ...frontier,
  ]);
  const [first] = answers[0].recipes;
  const most = best(listed);
  ratios.push(most === 0 ? 1 : first.chance / most);
  let text = `${i + 1}  ${aim.map((v) => v.toFixed(0)).join(' ')}  first ${first.chance.toFixed(2)}, best listed ${most.toFixed(2)}, closest ${answers[1].recipes[0].chance.toFixed(2)}`;
  if (wider) {
    const all = best((await ask(aim, { order: 'closest', top: 1000 })).recipes);
    widerRatios.push(all === 0 ? 1 : first.chance / all);
    text += `, best of 1000 ${all.toFixed(2)}`;
  }
  console.log(text);
}
const summary = (of: readonly number[]) =>
  `least ${Math.min(...of).toFixed(3)}, median ${quantile(of, 0.5).toFixed(3)}, ${of.filter((r) => r >= 0.95).length} of ${of.length} at least 0.95`;
console.log(`first / best listed: ${summary(ratios)}`);
if (wider) console.log(`first / best of the 1000 closest: ${summary(widerRatios)}`);
