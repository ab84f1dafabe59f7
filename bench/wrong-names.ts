/**
 * Are wrong names on a tray noticed, and right ones left alone?
 *
 * Studios of paints left out of the prior are learned from their tiles (see `other-studios.ts`). Then trays
 * of 12 tiles with random mixes are cut 3 % off and read from a virtual photo: an error of 1 that all tiles
 * share, 0.8 of each tile's own, both stated. Their names slip by one from the first or from any place, two
 * names are exchanged, or all are right; ladders are the steps between two clays, with the right names. The
 * truth mixes by the power given, which the model does not know.
 *
 * Run:     npx tsx bench/wrong-names.ts [--lists 200] [--studios 10] [--power 1.15]
 */
import { parseArgs } from 'node:util';
import { modelFromFit } from '../src/core/clay/clay-model.ts';
import { fitClays } from '../src/core/clay/fit.ts';
import { openModel, predictMix } from '../src/core/clay/predict.ts';
import type { Pigment } from '../src/core/clay/prior-from-pigments.ts';
import { deltaE2000 } from '../src/core/colour/difference.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import {
  type BetterOrder,
  type UncertainColour,
  weighNames,
} from '../src/core/photo/weigh-names.ts';
import type { Parts } from './left-out-paints.ts';
import { anyMix, studioOf, type Truth, trueLab, weights } from './other-studios.ts';
import { type Random, randomFrom } from './random.ts';

const TILES = 12;
const [SHARED, OWN, HAND] = [1, 0.8, 0.03];

const { values } = parseArgs({
  options: {
    lists: { type: 'string', default: '200' },
    studios: { type: 'string', default: '10' },
    power: { type: 'string', default: '1.15' },
  },
});
const truth: Truth = { name: 'given', power: Number(values.power) };
const studios = Array.from({ length: Number(values.studios) }, (_, i) => {
  const { readings, prior, clays } = studioOf(i, truth);
  const fit = fitClays(readings, prior);
  return {
    clays,
    predictor: openModel(modelFromFit(fit)),
    names: fit.set.clays,
  };
});
const random = randomFrom(41);

interface Tray {
  readonly read: readonly UncertainColour[];
  readonly named: readonly UncertainColour[];
}

function trayOf({ predictor, names }: (typeof studios)[number], mixes: readonly Parts[]): Tray {
  const shared = [0, 1, 2].map(() => SHARED * random.normal());
  const v = SHARED ** 2 + OWN ** 2;
  const read = mixes.map((mix) => {
    const cut: Parts = mix.map(([p, n]) => [p, n * Math.exp(HAND * random.normal())]);
    const lab = trueLab(cut, truth).map((x, k) => x + shared[k] + OWN * random.normal());
    return { lab: lab as unknown as Lab, covariance: [v, 0, 0, 0, v, 0, 0, 0, v] };
  });
  const named = mixes.map((mix) => {
    const total = mix.reduce((sum, [, n]) => sum + n, 0);
    const shares = mix.map(([p, n]) => ({ clay: names.indexOf(p.name), share: n / total }));
    return predictMix(predictor, shares, { weights, geometry: 'included', partsSpread: HAND });
  });
  return { read, named };
}

const randomMixes = (clays: readonly Pigment[], from: Random): Parts[] =>
  Array.from({ length: TILES }, () => anyMix(from, clays));

function ladderMixes(clays: readonly Pigment[], from: Random): Parts[] {
  const one = from.whole(0, clays.length - 1);
  const other = (one + from.whole(1, clays.length - 1)) % clays.length;
  return Array.from({ length: TILES }, (_, i) => [
    [clays[one], i + 1],
    [clays[other], TILES - i],
  ]);
}

type Found = BetterOrder | undefined;
interface Row {
  lists: number;
  right: number;
  other: number;
}
const rows = new Map<string, Row>();
function count(name: string, found: Found, isRight: (found: BetterOrder) => boolean): void {
  const row = rows.get(name) ?? { lists: 0, right: 0, other: 0 };
  row.lists++;
  if (found !== undefined && isRight(found)) row.right++;
  else if (found !== undefined) row.other++;
  rows.set(name, row);
}

const better = ({ read }: Tray, named: readonly (UncertainColour | undefined)[]): Found =>
  weighNames(
    read.map((one, i) => ({ read: one, ...(named[i] === undefined ? {} : { named: named[i] }) })),
  ).better;

let asked = 0;
let tiles = 0;
for (let i = 0; i < Number(values.lists); i++) {
  const studio = studios[i % studios.length];
  const tray = trayOf(studio, randomMixes(studio.clays, random));
  const { named } = tray;
  const never = () => false;
  count('right names', better(tray, named), never);
  count('right names of a ladder', better(...ladder(studio)), never);
  const { misses } = weighNames(tray.read.map((read, k) => ({ read, named: named[k] })));
  asked += misses.filter((miss) => miss?.isDoubtful).length;
  tiles += TILES;
  // One name was left out: all that follow stand one tile too early, and the last tile has none.
  count('slipped from the first', better(tray, [...named.slice(1), undefined]), (found) =>
    isShift(found, 1),
  );
  const from = random.whole(1, TILES - 4);
  const early = [...named.slice(0, from), ...named.slice(from + 1), undefined];
  count('slipped from any place', better(tray, early), (found) => isShift(found, 1));
  // One name was written twice: all that follow stand one tile too late.
  const late = [...named.slice(0, from), named[from - 1], ...named.slice(from)].slice(0, TILES);
  count('one name twice', better(tray, late), (found) => isShift(found, -1));
  const [a, b] = [random.whole(0, TILES - 1), random.whole(0, TILES - 1)];
  if (a === b) continue;
  const apart = deltaE2000(named[a].lab, named[b].lab);
  const swapped = named.map((one, k) => (k === a ? named[b] : k === b ? named[a] : one));
  const size = apart > 15 ? 'over 15 apart' : apart < 8 ? 'under 8 apart' : '8 to 15 apart';
  count(
    `exchanged, ${size}`,
    better(tray, swapped),
    (found) =>
      found.kind === 'exchange' && found.one === Math.min(a, b) && found.other === Math.max(a, b),
  );
}

function ladder(studio: (typeof studios)[number]): [Tray, Tray['named']] {
  const tray = trayOf(studio, ladderMixes(studio.clays, random));
  return [tray, tray.named];
}

function isShift(found: BetterOrder, by: 1 | -1): boolean {
  return found.kind === 'shift' && found.by === by;
}

console.log(`Power ${values.power}, ${values.lists} lists, ${studios.length} studios`);
for (const [name, { lists, right, other }] of rows) {
  const share = (n: number) => `${((100 * n) / lists).toFixed(1)} %`;
  console.log(
    `${name}: ${lists} lists, right offer ${share(right)}, another offer ${share(other)}`,
  );
}
console.log(`tiles of right names asked about: ${((100 * asked) / tiles).toFixed(1)} %`);
