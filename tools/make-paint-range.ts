/**
 * Writes src/core/colour/paint-range.data.ts: how strong the paints of data/pigments and their mixes are, by
 * lightness and hue. Mixes of two, and of these with white or black; opaque, read without gloss.
 * Run: npx tsx tools/make-paint-range.ts
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { classOfPigment, type Pigment } from '../src/core/clay/prior-from-pigments.ts';
import { rangeOf } from '../src/core/colour/colour-range.ts';
import { bridged, SECTORS } from '../src/core/colour/edge.ts';
import { BANDS } from '../src/core/colour/grid.ts';
import { labFromSpectrum } from '../src/core/colour/spaces.ts';
import type { Lab } from '../src/core/colour/triples.ts';
import { colourWeights } from '../src/core/colour/weights.ts';
import { reflectanceFromRatio } from '../src/core/optics/kubelka-munk.ts';
import { claySurface, measuredFromInternal } from '../src/core/optics/surface.ts';
import { readPigments } from './pigments.ts';

/** Shares between 1 in 3000 and all but 1 in 3000: a little of a strong paint changes a colour much. */
const shares = (count: number) =>
  Array.from({ length: count }, (_, i) => 1 / (1 + Math.exp(8 - (16 * i) / (count - 1))));
const FINE = shares(65);
const COARSE = shares(33);
const RATIOS = [0.05, 0.2, 0.5, 0.8, 0.95];
const weights = colourWeights('D50', 2);
const surface = claySurface('excluded');

/** The colour of paints by their shares. */
export function paintLab(parts: readonly (readonly [paint: Pigment, share: number])[]): Lab {
  const spectrum = Float64Array.from({ length: BANDS }, (_, band) => {
    const sum = (of: 'absorption' | 'scattering') =>
      parts.reduce((all, [paint, share]) => all + share * paint[of][band]!, 0);
    const ratio = sum('absorption') / sum('scattering');
    return measuredFromInternal(reflectanceFromRatio(ratio), surface);
  });
  return labFromSpectrum(spectrum, weights);
}

/** Every two paints, and these with white or black, from a trace of the one to a trace of the other. */
export function* paintMixes(paints: readonly Pigment[]): Generator<Lab> {
  const thirds = paints.filter((paint) => ['white', 'black'].includes(classOfPigment(paint)));
  for (const [i, one] of paints.entries()) {
    yield paintLab([[one, 1]]);
    for (const two of paints.slice(i + 1)) {
      for (const share of FINE) yield paintLab(pairOf(one, two, share));
      for (const third of thirds) {
        for (const share of COARSE) {
          for (const of of RATIOS) {
            const pair = pairOf(one, two, of).map(([paint, n]) => [paint, n * share] as const);
            yield paintLab([...pair, [third, 1 - share]]);
          }
        }
      }
    }
  }
}

function pairOf(one: Pigment, two: Pigment, share: number) {
  return [[one, share] as const, [two, 1 - share] as const];
}

export function paintRangeText(): string {
  const { chroma } = rangeOf(paintMixes(readPigments()));
  const slices = Array.from({ length: chroma.length / SECTORS }, (_, slice) =>
    bridged(chroma.subarray(slice * SECTORS, (slice + 1) * SECTORS)).map(Math.ceil),
  );
  return [
    '// Written by tools/make-paint-range.ts from data/pigments; do not edit.',
    '/** Largest C*ab, by slice of lightness from black to white, then by hue sector. */',
    `export const PAINT_CHROMA: readonly (readonly number[])[] = ${JSON.stringify(slices).replaceAll('],', '],\n')};`,
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const target = new URL('../src/core/colour/paint-range.data.ts', import.meta.url);
  writeFileSync(target, paintRangeText());
}
