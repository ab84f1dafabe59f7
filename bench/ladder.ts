/**
 * Are the steps of a ladder even to the eye, and does a sheet cut as said fade evenly?
 *
 * Studios of white, black and six real paints that are not in the prior; each alone, 1 : 3 and 1 : 9 with white, read
 * with 0.5 units of noise. Ladders of five steps between two clays, or from a clay to white, black or grey, in at most
 * 12 pieces, and in as many as the answer names where 12 do not give even steps.
 * Scored: the largest step over the mean one, as predicted and by the true paints, beside pieces that change by equal
 *         amounts; the most that a blended sheet is off an even one, dE00, predicted and true
 * Run:    npx tsx bench/ladder.ts [--studios 20] [--steps 5]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel } from '../src/core/clay/predict.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { knownClays } from '../src/core/find/known-clays.ts';
import { answeredAtOnce } from '../src/core/find/work-steps.ts';
import { EVEN, unevenness } from '../src/core/ladder/ladder.ts';
import { ladder } from '../src/verbs/ladder.ts';
import { trueLab, virtualTile } from './left-out-paints.ts';
import { paintStudio } from './paint-studio.ts';
import { mean, quantile, randomFrom } from './random.ts';

const { values } = parseArgs({
  options: {
    studios: { type: 'string', default: '20' },
    steps: { type: 'string', default: '5' },
  },
});
const LADDERS = 5;
/** Points along a sheet. */
const LOOKS = 200;

interface Row {
  readonly predicted: number;
  readonly equal: number;
  readonly withMore: number;
  readonly withPreMix: number;
  readonly truePreMix: number;
  readonly trueSteps: number;
  readonly trueEqual: number;
  readonly off: number;
  readonly trueOff: number;
}

const rows: Row[] = [];
for (let s = 0; s < Number(values.studios); s++) {
  const random = randomFrom(71_000 + s);
  const { white, black, others, prior } = paintStudio(s, 6, random);
  const clays = [white, black, ...others];
  const tiles = clays.flatMap((p) =>
    (p === white ? [0] : [0, 3, 9]).map((parts) =>
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
  const none = { all: '', names: '', line: '', perhapsLine: '', stock: '', grams: '', density: '' };
  const known = knownClays(openModel(model), names, 'volume', none);
  const paint = (name: string) => clays.find((p) => p.name === name)!;
  const truly = (parts: readonly { readonly clay: string; readonly parts: number }[]): Lab =>
    trueLab(parts.map(({ clay, parts: n }) => [paint(clay), n] as const));
  for (let i = 0; i < LADDERS; i++) {
    const from = others[random.whole(0, others.length - 1)]!.name;
    const left = others.filter(({ name }) => name !== from);
    const to = ['white', 'black', 'grey'][i] ?? left[random.whole(0, left.length - 1)]!.name;
    const steps = Number(values.steps);
    const said = (name: string) =>
      names.includes(name) ? { recipe: [{ clay: name, parts: 1 }], words: name } : name;
    const ask = (parts: number) =>
      answeredAtOnce(ladder.ask(known, { from: said(from), to: said(to), steps, parts }));
    const first = ask(12);
    const last = first.evenWith === undefined ? first : ask(first.evenWith);
    const mixed = answeredAtOnce(
      ladder.ask(known, { from: said(from), to: said(to), steps, parts: 12, preMix: true }),
    );
    const [start, end] = [first.steps[0]!.parts, first.steps.at(-1)!.parts];
    const at = (share: number) =>
      truly(
        [
          ...start.map(({ clay, parts }) => ({ clay, parts: (parts * (1 - share)) / sum(start) })),
          ...end.map(({ clay, parts }) => ({ clay, parts: (parts * share) / sum(end) })),
        ].filter(({ parts }) => parts > 0),
      );
    const equal = Array.from({ length: steps }, (_, n) => at(n / (steps - 1)));
    rows.push({
      predicted: first.unevenness,
      equal: first.equalParts ?? Number.NaN,
      withMore: last.unevenness,
      withPreMix: mixed.unevenness,
      truePreMix: unevenness(mixed.steps.map(({ parts }) => truly(parts))),
      trueSteps: unevenness(last.steps.map(({ parts }) => truly(parts))),
      trueEqual: unevenness(equal),
      off: first.sheet.off,
      trueOff: sheetOff(first.sheet, at),
    });
  }
}

function sum(parts: readonly { readonly parts: number }[]): number {
  return parts.reduce((all, one) => all + one.parts, 0);
}

/** The most by which the blended sheet is off one that fades evenly between the same true colours. */
function sheetOff(
  { cut, sideMm }: { cut: readonly { acrossMm: number; firstMm: number }[]; sideMm: number },
  colourAt: (share: number) => Lab,
): number {
  const fine = Array.from({ length: 2001 }, (_, i) => colourAt((i / 2000) ** 2));
  const reached = [0];
  for (let i = 1; i < fine.length; i++) {
    reached.push(reached[i - 1]! + deltaE2000(fine[i - 1]!, fine[i]!));
  }
  const all = reached.at(-1)!;
  let worst = 0;
  for (let look = 0; look <= LOOKS; look++) {
    const across = (look / LOOKS) * sideMm;
    const after = Math.max(
      1,
      cut.findIndex(({ acrossMm }) => acrossMm >= across),
    );
    const [a, b] = [cut[after - 1]!, cut[after]!];
    const on = (across - a.acrossMm) / (b.acrossMm - a.acrossMm);
    const share = 1 - (a.firstMm + on * (b.firstMm - a.firstMm)) / sideMm;
    const place = reached.findIndex((v) => v >= (all * look) / LOOKS);
    const even = fine.at(place)!;
    worst = Math.max(worst, deltaE2000(colourAt(share), even));
  }
  return worst;
}

const of = (key: keyof Row) => rows.map((row) => row[key]);
const line = (name: string, key: keyof Row, limit: number) =>
  console.log(
    `${name.padEnd(44)} median ${quantile(of(key), 0.5).toFixed(2)}  mean ${mean(of(key)).toFixed(2)}  largest ${Math.max(...of(key)).toFixed(2)}  at most ${limit}: ${((100 * of(key).filter((v) => v <= limit).length) / rows.length).toFixed(0)} %`,
  );
console.log(`${rows.length} ladders of ${values.steps} steps; largest step over the mean one`);
line('in 12 pieces, predicted', 'predicted', EVEN);
line('in the pieces named, predicted', 'withMore', EVEN);
line('in the pieces named, true paints', 'trueSteps', EVEN);
line('in 12 pieces and a pre-mix, predicted', 'withPreMix', EVEN);
line('in 12 pieces and a pre-mix, true paints', 'truePreMix', EVEN);
line('pieces that change by equal amounts', 'equal', EVEN);
line('the same, true paints', 'trueEqual', EVEN);
console.log('a blended sheet off an even one, dE00');
line('predicted', 'off', 2);
line('true paints', 'trueOff', 2);
