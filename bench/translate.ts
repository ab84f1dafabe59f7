/**
 * A recipe of one line mixed of another: is what is said of the error true?
 *
 * Studios of white, black and eight real paints that are not in the prior; each alone, 1 : 3 and 1 : 9 with white, 0.5
 * units of noise. Four paints are one line, four the other; both have the white and the black. Recipes of two to four
 * clays, 6 to 12 parts, of either line are translated to the other. Combinations depart by 4 % each.
 * Scored: dE00 between the true colours of recipe and translation, against what was said; chance of a match; how many
 *         translations are what `find` gives for the predicted colour with the same rules
 * Run:    npx tsx bench/translate.ts [--studios 10]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { mixSlopes } from '../src/core/clay/mixture.ts';
import { openModel } from '../src/core/clay/predict.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { knownClays } from '../src/core/find/known-clays.ts';
import { answeredAtOnce } from '../src/core/find/work-steps.ts';
import type { Recipe } from '../src/core/notation/notation.ts';
import { claySurface } from '../src/core/optics/surface.ts';
import { MATCH } from '../src/core/verdict/verdict.ts';
import { find } from '../src/verbs/find.ts';
import { translate } from '../src/verbs/translate.ts';
import { virtualTile } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { mean, quantile, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);
const DEPARTURE = 0.04;
const MIXES = 6;
const { values } = parseArgs({ options: { studios: { type: 'string', default: '10' } } });

let asFound = 0;
const rows: { said: number; plusMinus: number; truly: number; chance: number }[] = [];
for (let s = 0; s < Number(values.studios); s++) {
  const random = randomFrom(51_000 + s);
  const { white, black, others, prior } = paintStudio(s, 8, random);
  const clays = [white, black, ...others];
  const tiles = clays.flatMap((p) =>
    p === white
      ? [virtualTile([[p, 1]], random)]
      : [0, 3, 9].map((parts) =>
          virtualTile(
            parts === 0
              ? [[p, 1]]
              : [
                  [p, 1],
                  [white, parts],
                ],
            random,
          ),
        ),
  );
  const model = modelFromFit(fitClays(tiles, prior));
  const names = model.clays.map(({ name }) => name);
  const pigments = names.map((name) => clays.find((p) => p.name === name)!);
  const departures = new Map<string, number[]>();
  const colour = (recipe: Recipe): Lab => {
    const key = recipe
      .map(({ clay }) => clay)
      .sort()
      .join();
    const own = departures.get(key) ?? pigments.map(() => DEPARTURE * random.normal());
    departures.set(key, own);
    const counted = recipe.map(({ clay, parts }) => {
      const at = names.indexOf(clay);
      return { clay: at, share: recipe.length > 1 ? parts * Math.exp(own[at]) : parts };
    });
    const all = counted.reduce((sum, { share }) => sum + share, 0);
    const { reflectance } = mixSlopes(
      counted.map(({ clay, share }) => ({ clay, share: share / all })),
      pigments,
      pigments.map(() => 'opaque'),
      { dilution: 0, shareExponent: 0, scatteringPerMm: 20 },
      claySurface('included'),
    );
    return labFromSpectrum(reflectance, weights);
  };
  const known = knownClays(openModel(model), names, 'volume', {
    ...{ all: '', names: '', line: '', perhapsLine: '', stock: '', grams: '', density: '' },
  });
  for (const way of [0, 1]) {
    const lineOf = (half: number) => [
      white.name,
      black.name,
      ...others.slice(4 * half, 4 * half + 4).map(({ name }) => name),
    ];
    const wanted = Array.from({ length: MIXES }, () => {
      const left = lineOf(way);
      const count = random.whole(2, 4);
      const recipe = Array.from({ length: count }, () => ({
        clay: left.splice(random.whole(0, left.length - 1), 1)[0],
        parts: 1,
      }));
      const total = random.whole(6, 12);
      for (let n = count; n < total; n++) recipe[random.whole(0, count - 1)].parts++;
      return { recipe, words: 'a mix' };
    });
    const rules = { only: lineOf(1 - way) };
    answeredAtOnce(translate.ask(known, { wanted, rules })).translated.forEach(({ found }, i) => {
      if (found === undefined) return;
      const [byHand] = answeredAtOnce(find.ask(known, { aim: found.wanted, rules })).recipes;
      const isSame = JSON.stringify(byHand?.parts) === JSON.stringify(found.recipe);
      if (isSame && byHand?.dE00 === found.dE00) asFound++;
      rows.push({
        said: found.dE00,
        plusMinus: found.plusMinus,
        truly: deltaE2000(colour(wanted[i].recipe), colour(found.recipe)),
        chance: found.chance,
      });
    });
  }
}
const expected = ({ said, plusMinus }: (typeof rows)[number]) => Math.hypot(said, plusMinus);
const rms = (list: readonly number[]) => Math.sqrt(mean(list.map((v) => v * v)));
const line = (name: string, list: typeof rows) =>
  console.log(
    `${name} (${list.length}): predicted ${mean(list.map(({ said }) => said)).toFixed(2)}, true ${mean(list.map(({ truly }) => truly)).toFixed(2)}; root of mean square expected ${rms(list.map(expected)).toFixed(2)}, true ${rms(list.map(({ truly }) => truly)).toFixed(2)}; chance stated ${mean(list.map(({ chance }) => chance)).toFixed(2)}, a match ${mean(list.map(({ truly }) => Number(truly <= MATCH))).toFixed(2)}`,
  );
line('all', rows);
line(
  'predicted a match',
  rows.filter(({ said }) => said <= MATCH),
);
console.log(
  `median true ${quantile(
    rows.map(({ truly }) => truly),
    0.5,
  ).toFixed(2)}`,
);
console.log(`${asFound} of ${rows.length} are what find gives by hand`);
