/**
 * Two piles where the clays are only learned: do recipes miss as often as was said, and is the set of blocks still
 * right after their tiles are baked? Beside it, what the trade takes for granted (common practice, no source).
 *
 * Lines of white, black, eight real paints that are not in the prior, a grey of white and black, and four of the
 * paints paled with white as clays of their own: 15 blocks. Each alone, 1 : 3 and 1 : 9 with white, 0.5 units of
 * noise. Parts are cut by hand. After tiles: each mixed block's recipe is baked and learned, and recipes of the
 * same set are looked for again.
 *
 * Run: npx tsx bench/piles-truth.ts [--lines 20] [--tolerance 1.8,3.5,7]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { PARTS_SPREAD } from '../src/core/clay/parts-spread.ts';
import { openModel } from '../src/core/clay/predict.ts';
import type { Pigment } from '../src/core/clay/prior-from-pigments.ts';
import type { TileReading } from '../src/core/clay/tile-reading.ts';
import { familyOfName } from '../src/core/colour/colour-family.ts';
import { colourName } from '../src/core/colour/colour-name.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import { HOUSE_VIEWING } from '../src/core/colour/house-viewing.ts';
import { lchFromLab } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { knownClays } from '../src/core/find/known-clays.ts';
import { predictViewed } from '../src/core/find/predicted-mix.ts';
import { answered } from '../src/core/find/work-steps.ts';
import type { Recipe } from '../src/core/notation/notation.ts';
import { highsOptimiser } from '../src/solver/highs-optimiser.ts';
import { buyOrMix } from '../src/verbs/buy-or-mix.ts';
import type { BuyOrMixAnswer } from '../src/verbs/buy-or-mix-question.ts';
import { find } from '../src/verbs/find.ts';
import { PLAIN_HINTS } from '../test/six-clays.ts';
import { type Parts, trueLab, virtualTile } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { mean, type Random, randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    lines: { type: 'string', default: '20' },
    tolerance: { type: 'string', default: '1.8,3.5,7' },
  },
});
const PALED = [0.75, 0.9, 0.5, 0.8];
const GREY_WHITE = 0.85;
const optimiser = await highsOptimiser();

function blend(name: string, one: Pigment, other: Pigment, share: number): Pigment {
  const mixed = (curve: 'absorption' | 'scattering') =>
    one[curve].map((v, band) => (1 - share) * v + share * other[curve][band]);
  return { name, absorption: mixed('absorption'), scattering: mixed('scattering') };
}

function lineOf(index: number, random: Random) {
  const { white, black, others, prior } = paintStudio(index, 8, random);
  const grey = blend('Grey', black, white, GREY_WHITE);
  const paled = PALED.map((share, i) => blend(`Pale ${others[i]!.name}`, others[i]!, white, share));
  const clays: readonly Pigment[] = [white, black, ...others, grey, ...paled];
  return { white, clays, prior };
}

function openedFrom(readings: readonly TileReading[], prior: ReturnType<typeof lineOf>['prior']) {
  const predictor = openModel(modelFromFit(fitClays(readings, prior)));
  const names = predictor.model.clays.map(({ name }) => name);
  return knownClays(predictor, names, 'volume', PLAIN_HINTS);
}

async function pilesOf(clays: ReturnType<typeof openedFrom>, question: object) {
  return answered(buyOrMix.ask(clays, question), {
    nowMs: () => performance.now(),
    breathe: async () => {},
    optimiser: async () => optimiser,
  });
}

interface Row {
  chances: number[];
  within: number[];
  bakeFirst: number;
  after: { asked: number; cannot: number; chances: number[]; within: number[] };
  bought: number[];
}
const tolerances = values.tolerance.split(',').map(Number);
const rows = tolerances.map(
  (): Row => ({
    chances: [],
    within: [],
    bakeFirst: 0,
    after: { asked: 0, cannot: 0, chances: [], within: [] },
    bought: [],
  }),
);
const facts: Record<string, boolean[]> = {};
const fact = (name: string, holds: boolean) => {
  facts[name] = [...(facts[name] ?? []), holds];
};

for (let index = 0; index < Number(values.lines); index++) {
  const random = randomFrom(19_000 + index);
  const { white, clays, prior } = lineOf(index, random);
  const byName = new Map(clays.map((clay) => [clay.name, clay]));
  const partsOf = (recipe: Recipe, spread: number): Parts =>
    recipe.map(({ clay, parts }) => [
      byName.get(clay)!,
      recipe.length > 1 ? parts * Math.exp(spread * random.normal()) : parts,
    ]);
  const tiles = clays.flatMap((clay) =>
    clay === white
      ? [virtualTile([[white, 1]], random)]
      : [0, 3, 9].map((parts) =>
          virtualTile(
            parts === 0
              ? [[clay, 1]]
              : [
                  [clay, 1],
                  [white, parts],
                ],
            random,
          ),
        ),
  );
  const known = openedFrom(tiles, prior);
  const labs = clays.map((clay) => trueLab([[clay, 1]]));
  for (const [i, tolerance] of tolerances.entries()) {
    const row = rows[i]!;
    const found = await pilesOf(known, { tolerance });
    row.bought.push(found.buy.length);
    const baked: TileReading[] = [];
    for (const { clay, recipe, chance, bakeFirst } of found.mix) {
      const off = deltaE2000(
        trueLab([[byName.get(clay)!, 1]]),
        trueLab(partsOf(recipe, PARTS_SPREAD.ofMix)),
      );
      row.chances.push(chance);
      row.within.push(Number(off <= tolerance));
      row.bakeFirst += Number(bakeFirst);
      baked.push(virtualTile(partsOf(recipe, 0), random));
    }
    if (found.mix.length > 0) {
      const again = openedFrom([...tiles, ...baked], prior);
      const same = await pilesOf(again, {
        tolerance,
        always: found.buy.map(({ clay }) => clay),
        ...(found.mix.length === 0 ? {} : { never: found.mix.map(({ clay }) => clay) }),
      });
      row.after.asked += found.mix.length;
      row.after.cannot += same.neither.length;
      for (const { clay, recipe, chance } of same.mix) {
        const off = deltaE2000(
          trueLab([[byName.get(clay)!, 1]]),
          trueLab(partsOf(recipe, PARTS_SPREAD.ofMix)),
        );
        row.after.chances.push(chance);
        row.after.within.push(Number(off <= tolerance));
      }
    }
    if (tolerance === 3.5) await factsOf(found, known, clays, labs);
  }
}

/** A mix of two clays of the line as the learned model has it. */
function predicted(
  known: ReturnType<typeof openedFrom>,
  [one, other]: readonly [number, number],
  share: number,
): Lab {
  const shares = [
    { clay: one, share },
    { clay: other, share: 1 - share },
  ];
  return predictViewed(known.predictor, shares, HOUSE_VIEWING).lab;
}

async function factsOf(
  { buy }: BuyOrMixAnswer,
  known: ReturnType<typeof openedFrom>,
  clays: readonly Pigment[],
  labs: readonly Lab[],
): Promise<void> {
  const bought = new Set(buy.map(({ clay }) => clay));
  fact('white is bought', bought.has('Titanium White'));
  fact('a grey between black and white is mixed', !bought.has('Grey'));
  const hued = labs.map((lab, i) => ({ i, lch: lchFromLab(lab) }));
  for (const { i, lch } of hued) {
    const [, chroma, hue] = lch;
    const isAlone = hued.every(({ i: other, lch: [, c, h] }) => {
      const apart = Math.abs(((h - hue + 540) % 360) - 180);
      return other === i || c < 20 || apart > 40;
    });
    if (chroma > 45 && isAlone) {
      fact('an isolated clay of high chroma is bought', bought.has(clays[i]!.name));
    }
  }
  const green = hued
    .filter(({ lch: [, c, h] }) => h > 130 && h < 190 && c > 25)
    .sort((one, other) => other.lch[1] - one.lch[1])[0];
  if (green !== undefined) {
    const far = hued.filter(
      ({ lch: [, c, h] }) => c > 20 && Math.abs(((h - green.lch[2] + 540) % 360) - 180) > 50,
    );
    let most = 0;
    for (const one of far) {
      for (const other of far) {
        if (one.i === other.i) continue;
        for (const parts of [1, 2, 4, 8]) {
          const [, c, h] = lchFromLab(predicted(known, [one.i, other.i], parts / (parts + 1)));
          if (Math.abs(((h - green.lch[2] + 540) % 360) - 180) < 25) most = Math.max(most, c);
        }
      }
    }
    if (most > 0)
      fact('greens of far hues are duller than a single green of high chroma', most < green.lch[1]);
  }
  // Without the clays of a third of the circle, the answer to an aim there names the clay that is missing.
  const aim = hued.filter(({ lch: [, c] }) => c > 45)[0];
  if (aim !== undefined) {
    const without = hued.filter(
      ({ lch: [, c, h] }) => c > 12 && Math.abs(((h - aim.lch[2] + 540) % 360) - 180) <= 45,
    );
    const lab = labs[aim.i]!;
    const { gapReport } = await answered(
      find.ask(known, {
        aim: [...lab],
        top: 1,
        rules: { without: without.map(({ i }) => clays[i]!.name) },
      }),
      {
        nowMs: () => process.cpuUsage().user / 1000,
        breathe: async () => {},
        optimiser: async () => optimiser,
      },
    );
    const named = gapReport?.missing?.name ?? '';
    fact(
      'the hue family that a stock lacks is named',
      named !== '' && familyOfName(named) === familyOfName(colourName(lab).name),
    );
  }
}

console.log(`${values.lines} lines of 15 blocks`);
console.log(
  'tolerance  bought  mixed  said within  truly within  bake first  after tiles: cannot be made, said, truly',
);
for (const [i, row] of rows.entries()) {
  const share = (of: readonly number[]) =>
    of.length === 0 ? '-' : `${(100 * mean(of)).toFixed(0)} %`;
  const { after } = row;
  console.log(
    `${tolerances[i]!.toFixed(1).padStart(9)}  ${mean(row.bought).toFixed(1).padStart(6)}  ${String(row.chances.length).padStart(5)}  ${share(row.chances).padStart(11)}  ${share(row.within).padStart(12)}  ${String(row.bakeFirst).padStart(10)}  ${after.cannot} of ${after.asked}, ${share(after.chances)}, ${share(after.within)}`,
  );
}
for (const [name, holds] of Object.entries(facts)) {
  console.log(`${name}: ${holds.filter(Boolean).length} of ${holds.length}`);
}
