/**
 * A lot that came out otherwise: are its mixes predicted, and does the new cut keep their colour?
 *
 * Studios as in bench/mend.ts (white, black and six real paints that are not in the prior; each alone, 1 : 3 and
 * 1 : 9 with white, 0.5 units of noise). The new lot of one paint is truly stronger or weaker by 20 % (K alone), and
 * holds 0 to 10 % of another paint. It is read once, alone, with 0.5 units of noise an axis, or by eye with 4.
 * Mixes: ten of two to four clays with the paint, 6 to 12 pieces each; combinations depart by 4 %, with either lot alike.
 * Scored: dE00 between what the mix was and is with the same parts, predicted against true; what is left with the
 *         new cut, cut exactly; chances as stated against matches
 * Run:    npx tsx bench/new-lot.ts [--studios 20] [--noise 0.5]
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
import { claySurface } from '../src/core/optics/surface.ts';
import { MATCH } from '../src/core/verdict/verdict.ts';
import { newLot } from '../src/verbs/new-lot.ts';
import { virtualTile } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { mean, quantile, randomFrom } from './random.ts';

const weights = colourWeights('D50', 2);
const DEPARTURE = 0.04;
const MIXES = 10;
const { values } = parseArgs({
  options: {
    studios: { type: 'string', default: '20' },
    noise: { type: 'string', default: '0.5' },
  },
});
const noise = Number(values.noise);

const rows: {
  moved: number;
  said: number;
  before: number;
  after: number;
  chance: number;
  change: number;
  added: boolean;
  ms: number;
}[] = [];
const clayMoved: number[] = [];
for (let s = 0; s < Number(values.studios); s++) {
  const random = randomFrom(31_000 + s);
  const { white, black, others, prior } = paintStudio(s, 6, random);
  const clays = [white, black, ...others];
  const tinted = (parts: number, p: (typeof clays)[number]) =>
    virtualTile(
      [
        [p, 1],
        [white, parts],
      ],
      random,
    );
  const tiles = clays.flatMap((p) =>
    p === white
      ? [virtualTile([[p, 1]], random)]
      : [virtualTile([[p, 1]], random), tinted(3, p), tinted(9, p)],
  );
  const model = modelFromFit(fitClays(tiles, prior));
  const pigments = model.clays.map(({ name }) => clays.find((p) => p.name === name)!);
  const changed = pigments.indexOf(others[s % others.length]);
  const dirt = pigments[(changed + 1 + random.whole(0, pigments.length - 2)) % pigments.length];
  const share = 0.1 * random.uniform();
  const strength = Math.exp(0.2 * random.normal());
  const old = pigments[changed];
  const lot = {
    ...old,
    absorption: old.absorption.map(
      (v, band) => (1 - share) * strength * v + share * dirt.absorption[band],
    ),
    scattering: old.scattering.map((v, band) => (1 - share) * v + share * dirt.scattering[band]),
  };
  const colour = (
    parts: readonly { readonly clay: number; readonly parts: number }[],
    departures: readonly number[],
    withLot: boolean,
  ): Lab => {
    const used = pigments.map((p, i) => (withLot && i === changed ? lot : p));
    const counted = parts.map(({ clay, parts: n }) => ({
      clay,
      share: parts.length > 1 ? n * Math.exp(departures[clay]) : n,
    }));
    const all = counted.reduce((sum, one) => sum + one.share, 0);
    const { reflectance } = mixSlopes(
      counted.map((one) => ({ ...one, share: one.share / all })),
      used,
      used.map(() => 'opaque'),
      { dilution: 0, shareExponent: 0, scatteringPerMm: 20 },
      claySurface('included'),
    );
    return labFromSpectrum(reflectance, weights);
  };
  const none = pigments.map(() => 0);
  const alone = [{ clay: changed, parts: 1 }];
  const truly = colour(alone, none, true);
  clayMoved.push(deltaE2000(colour(alone, none, false), truly));
  const looks = truly.map((v) => v + noise * random.normal()) as unknown as Lab;
  const known = knownClays(
    openModel(model),
    model.clays.map(({ name }) => name),
    'volume',
    { all: '', names: '', line: '', perhapsLine: '', stock: '', grams: '', density: '' },
  );
  const mixes = Array.from({ length: MIXES }, () => {
    const left = pigments.map((_, i) => i).filter((i) => i !== changed);
    const held = [
      changed,
      ...Array.from(
        { length: random.whole(1, 3) },
        () => left.splice(random.whole(0, left.length - 1), 1)[0],
      ),
    ];
    const parts = held.map((clay) => ({ clay, parts: 1 }));
    const total = random.whole(6, 12);
    for (let n = held.length; n < total; n++) parts[random.whole(0, held.length - 1)].parts++;
    return { parts, departures: pigments.map(() => DEPARTURE * random.normal()) };
  });
  const recipe = (parts: (typeof mixes)[number]['parts']) =>
    parts.map(({ clay, parts: n }) => ({ clay: known.names[clay], parts: n }));
  const began = performance.now();
  const work = newLot.ask(known, {
    clay: { recipe: recipe(alone), words: 'the clay' },
    looks,
    looksSpread: noise,
    wanted: mixes.map(({ parts }, i) => ({ recipe: recipe(parts), words: `${i}` })),
    viewing: { light: 'D50', observer: 2 },
  });
  const answer = answeredAtOnce(work);
  const ms = (performance.now() - began) / MIXES;
  for (const { of, after, cut } of answer.mixes) {
    const { parts, departures } = mixes[Number(of)];
    const aim = colour(parts, departures, false);
    const moved = deltaE2000(aim, colour(parts, departures, true));
    const next =
      cut === undefined
        ? parts
        : cut.recipe.map(({ clay, parts: n }) => ({ clay: known.names.indexOf(clay), parts: n }));
    rows.push({
      moved,
      said: after.dE00,
      before: moved,
      after: deltaE2000(aim, colour(next, departures, true)),
      chance: cut?.chance ?? after.chance,
      change: cut?.change ?? 0,
      added: cut?.added !== undefined,
      ms,
    });
  }
}
const share = (list: readonly boolean[]) =>
  `${((100 * list.filter(Boolean).length) / list.length).toFixed(0)} %`;
const of = (list: readonly number[]) =>
  `median ${quantile(list, 0.5).toFixed(2)}, 90 % ${quantile(list, 0.9).toFixed(2)}`;
console.log(
  `${values.studios} lots, read with ${noise}; the clay moved: ${of(clayMoved)}; ${rows.length} mixes`,
);
console.log(
  `how far a mix moves, said less true: mean error ${mean(rows.map(({ said, moved }) => Math.abs(said - moved))).toFixed(2)}, bias ${mean(rows.map(({ said, moved }) => said - moved)).toFixed(2)}`,
);
const far = rows.filter(({ moved }) => moved > MATCH);
for (const [name, list] of [
  ['all', rows],
  ['that moved past a match', far],
] as const) {
  console.log(
    `${name} (${list.length}): same parts ${of(list.map((row) => row.before))}, a match ${share(list.map((row) => row.before <= MATCH))}; new cut ${of(list.map((row) => row.after))}, a match ${share(list.map((row) => row.after <= MATCH))}, worse than before ${share(list.map((row) => row.after > row.before + 0.3))}`,
  );
}
console.log(
  `chance stated ${mean(rows.map((row) => row.chance)).toFixed(2)}, a match ${mean(rows.map((row) => Number(row.after <= MATCH))).toFixed(2)}; clay that is another ${(100 * mean(rows.map((row) => row.change))).toFixed(0)} %; one more clay in ${share(rows.map((row) => row.added))}; ${mean(rows.map((row) => row.ms)).toFixed(0)} ms a mix`,
);
