import type { ClayShare } from '../clay/mixture.ts';
import { PARTS_SPREAD } from '../clay/parts-spread.ts';
import { bentAndMissed, mixInUnknowns, openModel, type Predictor } from '../clay/predict.ts';
import { LATENTS } from '../clay/prior.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { layoutOfShared } from './layout-of-shared.ts';
import type { SharedClays } from './shared-clays.ts';

/** Predictions from shared clays alone, small enough for a page of one's own. */
export interface LightPredictor {
  /** Curves of the clays; its factor is empty, so only colours come from it. */
  readonly predictor: Predictor;
  /** D50 and 2 degrees; covariance 3 x 3 by rows. Refuses: as `mixInUnknowns` does */
  predict(parts: readonly ClayShare[]): { readonly lab: Lab; readonly covariance: Float64Array };
}

/** Opens shared clays. Holds: the same as `predictMix` over `modelOfShared`, without a matrix to factorise */
export function lightPredictor(shared: SharedClays): LightPredictor {
  const { spreads, ...layout } = layoutOfShared(shared);
  const clays = shared.clays.length;
  const sizes = [...shared.clays.map(() => LATENTS), ...spreads.map(({ length }) => length)];
  const factor = { order: sizes.map((_, i) => i), sizes, columns: [] };
  const predictor = openModel({ ...layout, factor });
  const starts: number[] = [];
  let unknowns = 0;
  for (const { modes } of shared.clays) {
    starts.push(unknowns);
    unknowns += modes.length;
  }
  for (const { length } of spreads) {
    starts.push(unknowns);
    unknowns += length;
  }
  const { correlation } = shared;

  return {
    predictor,
    predict(parts) {
      const partsSpread = parts.length > 1 ? PARTS_SPREAD.ofMix : PARTS_SPREAD.ofClay;
      const options = { weights: colourWeights('D50', 2), partsSpread };
      const { lab, blocks, own } = mixInUnknowns(predictor, parts, options);
      const columns: { readonly at: number; readonly slopes: readonly [number, number, number] }[] =
        [];
      for (const [block, jacobian] of blocks) {
        const size = sizes[block];
        const ways = block < clays ? shared.clays[block].modes : axes(spreads[block - clays]);
        ways.forEach((way, i) => {
          columns.push({ at: starts[block] + i, slopes: along(jacobian, size, way) });
        });
      }
      const tangent = Float64Array.from(own);
      for (const one of columns) {
        for (const other of columns) {
          const tie = one.at === other.at ? 1 : (correlation?.[one.at * unknowns + other.at] ?? 0);
          if (tie === 0) continue;
          for (let r = 0; r < 3; r++) {
            for (let c = 0; c < 3; c++) tangent[r * 3 + c] += tie * one.slopes[r] * other.slopes[c];
          }
        }
      }
      return { lab, covariance: bentAndMissed(tangent, shared.missFactor) };
    },
  };
}

function along(jacobian: Float64Array, size: number, way: Float64Array): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (let r = 0; r < 3; r++) {
    for (let i = 0; i < size; i++) out[r] += jacobian[r * size + i] * way[i];
  }
  return out;
}

function axes(spread: Float64Array): Float64Array[] {
  return Array.from(spread, (v, i) => {
    const way = new Float64Array(spread.length);
    way[i] = v;
    return way;
  });
}
