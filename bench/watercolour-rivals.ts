import { BANDS } from '../src/core/colour/grid.ts';
import { ratioFromReflectance, reflectanceFromRatio } from '../src/core/optics/kubelka-munk.ts';
import type { Layer, Watercolours } from './watercolour-data.ts';
import type { Paints } from './watercolour-film.ts';

/** Predicts the 36 bands of a layer. */
export type Predict = (layer: Pick<Layer, 'parts' | 'totalMl'>) => Float64Array;

/**
 * Simpler ways of predicting a mix from the layers of its paints. Those that need a layer between
 * two measured volumes interpolate on ln volume and use the end layer beyond them.
 */
export function rivals(data: Watercolours, paints: Paints): Readonly<Record<string, Predict>> {
  const own = new Map<string, Layer[]>();
  for (const layer of data.primaries) {
    const { paint } = layer.parts[0];
    own.set(paint, [...(own.get(paint) ?? []), layer]);
  }
  const at = (paint: string, volumeMl: number) => layerAt(own.get(paint)!, volumeMl);
  const bands = (value: (band: number) => number) =>
    Float64Array.from({ length: BANDS }, (_, b) => value(b));
  const shareSum = (
    { parts, totalMl }: Pick<Layer, 'parts' | 'totalMl'>,
    value: (paint: string, band: number) => number,
    band: number,
  ) =>
    parts.reduce((sum, { paint, volumeMl }) => sum + (volumeMl / totalMl) * value(paint, band), 0);
  const averaged =
    (
      volume: (layer: Pick<Layer, 'totalMl'>) => number,
      to: (r: number) => number,
      back: (v: number) => number,
    ): Predict =>
    (layer) => {
      const read = new Map(layer.parts.map(({ paint }) => [paint, at(paint, volume(layer))]));
      return bands((b) => back(shareSum(layer, (paint) => to(read.get(paint)![b]), b)));
    };
  const same = (v: number) => v;
  return {
    'K/S averaged, layers of equal volume': averaged(
      (l) => l.totalMl,
      ratioFromReflectance,
      reflectanceFromRatio,
    ),
    'K/S averaged, thickest layers': averaged(
      () => Number.POSITIVE_INFINITY,
      ratioFromReflectance,
      reflectanceFromRatio,
    ),
    'K and S averaged, taken as opaque': (layer) =>
      bands((b) =>
        reflectanceFromRatio(
          shareSum(layer, (p) => paints.get(p)!.absorption[b], b) /
            shareSum(layer, (p) => paints.get(p)!.scattering[b], b),
        ),
      ),
    'dots side by side': averaged((l) => l.totalMl, same, same),
    'logarithms averaged': averaged((l) => l.totalMl, Math.log, Math.exp),
    'Beer-Lambert, each at its own volume': ({ parts }) => {
      const read = parts.map(({ paint, volumeMl }) => at(paint, volumeMl));
      return bands((b) => read.reduce((r, own) => (r * own[b]) / data.paper[b], data.paper[b]));
    },
  };
}

function layerAt(layers: readonly Layer[], volumeMl: number): Float64Array {
  const above = layers.findIndex(({ totalMl }) => totalMl >= volumeMl);
  if (above === 0) return layers[0].reflectance;
  if (above < 0) return layers[layers.length - 1].reflectance;
  const [low, high] = [layers[above - 1], layers[above]];
  const t = Math.log(volumeMl / low.totalMl) / Math.log(high.totalMl / low.totalMl);
  return low.reflectance.map((r, b) => r + t * (high.reflectance[b] - r));
}
