/**
 * From photos to recipes: how much worse are readings of photos than perfect ones? The tiles of the
 * invented tide-pool studio are placed on tray sheets, twelve a photo, rendered, read and learned
 * from. Then recipes are searched for colours that some mix of two or three clays has, and the true
 * colour of each recipe is worked out. The same with perfect readings, and with an instrument of
 * 0.5 units of noise.
 * Run:     npx tsx bench/photo-to-recipe.ts [--aims 40] [--light D65]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel } from '../src/core/clay/predict.ts';
import { shippedPrior } from '../src/core/clay/shipped-prior.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { parseRecipe, type Recipe, sharesOf } from '../src/core/notation/notation.ts';
import { startSearch } from '../src/core/search/search.ts';
import { photographOf, scoreScene } from '../test/studio-camera/photograph.ts';
import { type LightKind, labOf, randomScene, type Scene } from '../test/studio-camera/scene.ts';
import { DEMO_NAMES, demoReflectance } from '../tools/demo-clays.ts';
import { mean, quantile, randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    aims: { type: 'string', default: '40' },
    light: { type: 'string', default: 'D65' },
  },
});
const random = randomFrom(77);
const recipes = DEMO_NAMES.flatMap((name) => [
  name,
  ...(name === 'Foam' ? [] : [`1 ${name} + 3 Foam`, `1 ${name} + 9 Foam`]),
  ...(['Foam', 'Limpet', 'Barnacle', 'Starfish'].includes(name) ? [`16 ${name} + 1 Mussel`] : []),
]).map(parseRecipe);

const truth = (recipe: Recipe): Lab => labOf(demoReflectance(recipe, 'excluded'));
const tile = (recipe: Recipe, lab: Lab, spread: number, photo?: string): TileReading => ({
  tile: recipe.map(({ clay, parts }) => `${parts} ${clay}`).join(' + '),
  parts: sharesOf(recipe).map(({ clay, share }) => ({ clay, share })),
  colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
  spread,
  geometry: 'excluded',
  partsSpread: 0,
  ...(photo === undefined ? {} : { photo }),
});

const fromPhotos: TileReading[] = [];
const readingErrors: number[] = [];
const places = 12;
for (let first = 0; first < recipes.length; first += places) {
  const laid = recipes.slice(first, first + places);
  const plain = randomScene(random, values.light as LightKind);
  // The photo is careful: no shadow, no hand.
  const scene: Scene = {
    ...plain,
    shadow: undefined,
    hand: undefined,
    tiles: laid.map((recipe, i) => {
      const spectrum = demoReflectance(recipe, 'excluded');
      const place = plain.layout.places[i].name;
      return {
        ...{ place, spectrum, lab: labOf(spectrum), offset: [0, 0] as const },
        ...{ sideMm: 25, turn: 0.1, round: false, stamped: i % 2 === 0 },
        gloss: [i % 3 === 0 ? 0.2 : 0, 5, 5, 2] as const,
      };
    }),
  };
  const { read, tiles } = await scoreScene(await photographOf(scene, random), true);
  const size = 3 * read.tiles.length;
  read.tiles.forEach((found, i) => {
    const index = scene.layout.places.findIndex(({ name }) => name === found.name);
    const trace = (j: number) =>
      [0, 1, 2].reduce((sum, r) => sum + read.covariance[(3 * i + r) * size + 3 * j + r], 0);
    const shared = mean(read.tiles.map((_, j) => (j === i ? 0 : trace(j))));
    const spread = Math.sqrt(Math.max(0.03, trace(i) - Math.max(0, shared)) / 3);
    if (found.quality !== 'poor') {
      fromPhotos.push(tile(laid[index], found.lab, spread, `photo ${first}`));
    }
  });
  readingErrors.push(...tiles.map(({ dE00 }) => dE00));
}
process.stdout.write(
  `${recipes.length} tiles in ${Math.ceil(recipes.length / places)} photos, read within ${mean(readingErrors).toFixed(2)} dE00 on average, worst ${Math.max(...readingErrors).toFixed(1)}\n`,
);

const noisy = (lab: Lab): Lab => lab.map((v) => v + 0.5 * random.normal()) as unknown as Lab;
const ways: readonly (readonly [string, readonly TileReading[]])[] = [
  ['perfect readings', recipes.map((r) => tile(r, truth(r), 0.1))],
  ['an instrument, 0.5 of noise', recipes.map((r) => tile(r, noisy(truth(r)), 0.5))],
  ['photos', fromPhotos],
];
const aims = Array.from({ length: Number(values.aims) }, () => {
  const names = [...DEMO_NAMES].sort(() => random.uniform() - 0.5).slice(0, random.whole(2, 3));
  return truth(names.map((clay) => ({ clay, parts: random.whole(1, 6) })));
});
for (const [name, tiles] of ways) {
  const predictor = openModel(modelFromFit(fitClays(tiles, shippedPrior())));
  const misses = aims.map((aim) => {
    const run = startSearch(predictor, {
      aim,
      weights: colourWeights('D50', 2),
      geometry: 'excluded',
      clays: predictor.model.clays.map((_, i) => i),
      mostClays: 3,
      parts: 12,
      top: 1,
    });
    while (!run.step(1e6)) {}
    const [{ parts }] = run.best();
    const mixed = truth(
      parts.map(({ clay, parts: n }) => ({
        clay: predictor.model.clays[clay].name,
        parts: n,
      })),
    );
    return deltaE2000(mixed, aim);
  });
  process.stdout.write(
    `${name.padEnd(30)} recipes found miss ${aims.length} aims by ${mean(misses).toFixed(2)} dE00 on average, 90th ${quantile(misses, 0.9).toFixed(2)}, worst ${Math.max(...misses).toFixed(1)}\n`,
  );
}
