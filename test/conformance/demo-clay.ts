/**
 * The demo's clays learned in memory, with one more pearl clay, for tests that need a clay model.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { predictMix } from '../../src/core/clay/predict.ts';
import type { Viewing } from '../../src/core/colour/adaptation.ts';
import { labUnder } from '../../src/core/colour/adaptation.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import type { FindTask } from '../../src/core/find/find-plan.ts';
import type { StockRow } from '../../src/core/find/known-clays.ts';
import { bytesFromClayFile } from '../../src/domain/clay-file-codec.ts';
import { readReadings } from '../../src/formats/readings.ts';
import { find } from '../../src/verbs/find.ts';
import type { FindAnswer } from '../../src/verbs/find-answer.ts';
import { learn, sourceFrom } from '../../src/verbs/learn.ts';
import { type OpenClay, openClay } from '../../src/verbs/open-clay.ts';
import { type Asking, asked } from '../../src/verbs/verb.ts';
import { DEMO } from '../journeys/program.ts';
import { madeOnce } from '../made-once.ts';

const PEARL = 'tile,of,effect,L,a,b\nOpal 1,Opal,pearl,84.0,3.1,4.2\n';

/** Lines and densities for the demo's clays; densities are far apart on purpose. */
export const DEMO_STOCK: readonly StockRow[] = [
  { name: 'Foam', line: 'Saltmarsh', density: 1.6, onHandG: 200 },
  { name: 'Kelp', line: 'Saltmarsh', density: 1.3, onHandG: 40 },
  { name: 'Lagoon', line: 'Saltmarsh', density: 1.2, onHandG: 10 },
  { name: 'Periwinkle', line: 'Saltmarsh', density: 1.4, onHandG: 55 },
  { name: 'Mussel', line: 'Brindle', density: 1.25, onHandG: 60 },
  { name: 'Urchin', line: 'Brindle', density: 1.5, onHandG: 25 },
  { name: 'Anemone', line: 'Brindle', density: 1.35 },
  { name: 'Starfish', line: 'Lantern', density: 1.45, onHandG: 57 },
  { name: 'Limpet', line: 'Lantern', density: 1.3, onHandG: 30 },
  { name: 'Barnacle', line: 'Lantern', density: 1.55, onHandG: 100 },
  { name: 'Opal', line: 'Lantern', density: 1.25, onHandG: 50 },
];

/** A shell without a stop signal. */
export const UNSTOPPED: Asking = {
  nowMs: () => performance.now(),
  breathe: () => setImmediate(),
  progress: () => {},
  stopped: () => false,
};

export async function demoClay(): Promise<OpenClay> {
  const learned = await madeOnce('demo-clay-with-pearl.json', async (path) =>
    writeFileSync(path, await learnedBytes()),
  );
  return openClay(readFileSync(learned), 'clay.json');
}

async function learnedBytes(): Promise<Uint8Array> {
  const sources = [...DEMO, 'pearl.csv'].map((path) => {
    const bytes = path === 'pearl.csv' ? new TextEncoder().encode(PEARL) : readFileSync(path);
    return sourceFrom(path, readReadings(bytes, path, 'volume').readings);
  });
  const { answer } = await asked(learn.ask({ sources, madeWith: 'test' }, {}), UNSTOPPED);
  return bytesFromClayFile(answer.file);
}

/** The verb find on a clay model at hand, at the pace of a shell; the closest first. */
export async function findIn(
  clay: OpenClay,
  { otherViewings = [], ...question }: FindTask,
  shell: Asking = UNSTOPPED,
): Promise<FindAnswer> {
  const otherLights = otherViewings.map(({ light }) => light);
  return (await asked(find.run(clay, { order: 'closest', ...question, otherLights }), shell))
    .answer;
}

/** A recipe's parts, by the names of its clays. */
export type Parts = Readonly<Record<string, number>>;

/** The parts of one recipe by volume, as the demo's clays were learned. */
export function volumesOf(parts: Parts, basis: 'volume' | 'weight', stock = DEMO_STOCK): Parts {
  if (basis === 'volume') return parts;
  const density = new Map(stock.map(({ name, density }) => [name, density ?? Number.NaN]));
  return Object.fromEntries(
    Object.entries(parts).map(([name, n]) => [name, n / (density.get(name) ?? Number.NaN)]),
  );
}

/** The long way to a colour: shares of the whole, then the full prediction. */
export function labOf(clay: OpenClay, volumes: Parts, { light, observer }: Viewing): Lab {
  const total = Object.values(volumes).reduce((sum, n) => sum + n, 0);
  const parts = Object.entries(volumes).map(([name, n]) => ({
    clay: clay.file.clays.findIndex((clay) => clay.name === name),
    share: n / total,
  }));
  const weights = colourWeights(light, observer);
  return predictMix(clay.predictor, parts, { weights, partsSpread: 0 }).lab;
}

/** Largest distance from an aim over some lights, the long way. */
export function distanceOf(
  clay: OpenClay,
  volumes: Parts,
  aim: Lab,
  [first, ...others]: readonly Viewing[],
): number {
  return Math.max(
    ...[first, ...others].map((viewing) =>
      deltaE2000(labUnder(aim, first, viewing), labOf(clay, volumes, viewing)),
    ),
  );
}
