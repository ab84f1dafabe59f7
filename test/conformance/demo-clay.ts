/**
 * The demo's clays learned in memory, with one more pearl clay, for tests that need a clay model.
 */
import { readFileSync } from 'node:fs';
import { predictMix } from '../../src/core/clay/predict.ts';
import type { Viewing } from '../../src/core/colour/adaptation.ts';
import { labUnder } from '../../src/core/colour/adaptation.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import type { Lab } from '../../src/core/colour/triples.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import type { StockRow } from '../../src/core/find/known-clays.ts';
import { terminalShell } from '../../src/main/terminal.ts';
import { learn } from '../../src/verbs/learn.ts';
import { type OpenClay, openClay } from '../../src/verbs/open-clay.ts';
import type { Ports } from '../../src/verbs/ports.ts';
import { DEMO } from '../journeys/program.ts';

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

/** Ports over files in memory; no stop signal. */
export function memoryPorts(files: Map<string, Uint8Array> = new Map()): Ports {
  return {
    ...terminalShell('0.0.0').ports,
    stopped: () => false,
    progress: () => {},
    files: {
      read: async (path) => {
        const bytes = files.get(path);
        if (bytes === undefined) throw new Error(`no file ${path}`);
        return bytes;
      },
      write: async (path, bytes) => {
        files.set(path, bytes);
      },
      look: async (path) => ({ identity: path, kind: files.has(path) ? 'file' : 'nothing' }),
    },
  };
}

export async function demoClay(): Promise<OpenClay> {
  const files = new Map<string, Uint8Array>(DEMO.map((path) => [path, readFileSync(path)]));
  files.set('pearl.csv', new TextEncoder().encode(PEARL));
  const ports = memoryPorts(files);
  await learn(ports, { readings: [...DEMO, 'pearl.csv'], out: 'clay.json' });
  return openClay(ports, 'clay.json');
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
