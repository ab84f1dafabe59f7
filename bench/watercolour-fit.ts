import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { BANDS } from '../src/core/colour/grid.ts';
import type { Layer } from './watercolour-data.ts';
import {
  amountsOf,
  backingOf,
  brushedLayer,
  type FilmTheory,
  type PaintOptics,
  type Paints,
  thicknesses,
} from './watercolour-film.ts';

/** Standard deviation taken for one band: a floor and a share. */
const noiseOfReflectance = (r: number) => 0.003 + 0.02 * r;
/**
 * Transmittances cover four decades and come from another sheet, so they are fitted loosely, as
 * ln(T + floor).
 */
const LN_T = { floor: 0.003, spread: 1 };
export const lnTransmittance = (t: number) => Math.log(Math.max(0, t) + LN_T.floor);

/**
 * Belief about ln K and ln S of 0.04 ml before any layer: just strong enough that a band that is
 * black in every layer has an answer.
 */
const BELIEF = [
  { middle: 1, spread: 3 },
  { middle: 0, spread: 2 },
] as const;

const STARTS = [
  [0, 0],
  [2, 0],
  [-2, 2],
  [1, -2],
] as const;
const STEPS = 25;

/**
 * Least squares of ln K and ln S of every paint in some layers, band by band.
 * Method:  Gauss-Newton with Levenberg's damping. Layers of one paint are fitted from several starts
 *          and the best is kept; layers of many paints only from the answer given in `from`
 */
export function learnPaints(
  theory: FilmTheory,
  layers: readonly Layer[],
  paper: Float64Array,
  from?: Paints,
): Paints {
  const names = [...new Set(layers.flatMap(({ parts }) => parts.map(({ paint }) => paint)))];
  const backing = backingOf(theory, paper);
  const spread = thicknesses(theory);
  const rows = layers.map((layer) => {
    const amounts = amountsOf(theory, layer.parts);
    return {
      layer,
      parts: layer.parts.map(({ paint }, i) => ({ at: names.indexOf(paint), amount: amounts[i] })),
    };
  });
  const answer = new Map<string, PaintOptics>(
    names.map((name) => [
      name,
      { absorption: new Float64Array(BANDS), scattering: new Float64Array(BANDS) },
    ]),
  );
  let last: number[] | undefined;
  for (let band = 0; band < BANDS; band++) {
    const starts =
      from === undefined
        ? [...STARTS.map((start) => names.flatMap(() => start)), ...(last ? [last] : [])]
        : [
            names.flatMap((name) => [
              Math.log(from.get(name)!.absorption[band]),
              Math.log(from.get(name)!.scattering[band]),
            ]),
          ];
    const found = starts.map((start) => descend(start, (x) => system(band, x)));
    last = found.reduce((a, b) => (b.cost < a.cost ? b : a)).x;
    names.forEach((name, i) => {
      answer.get(name)!.absorption[band] = Math.exp(last![2 * i]);
      answer.get(name)!.scattering[band] = Math.exp(last![2 * i + 1]);
    });
  }
  return answer;

  function system(band: number, x: readonly number[]): System {
    const n = x.length;
    const sums: System = {
      cost: 0,
      normal: new Float64Array(n * n),
      gradient: new Float64Array(n),
    };
    x.forEach((value, i) => {
      const { middle, spread: width } = BELIEF[i % 2];
      sums.cost += ((value - middle) / width) ** 2;
      sums.normal[i * n + i] += width ** -2;
      sums.gradient[i] -= (value - middle) / width ** 2;
    });
    for (const { layer, parts } of rows) {
      const ks = parts.map(({ at, amount }) => amount * Math.exp(x[2 * at]));
      const ss = parts.map(({ at, amount }) => amount * Math.exp(x[2 * at + 1]));
      const k = ks.reduce((a, b) => a + b, 0);
      const s = ss.reduce((a, b) => a + b, 0);
      const read = brushedLayer(theory, spread, k, s, backing[band], paper[band]);
      const add = (residual: number, byLnK: number, byLnS: number) => {
        const slopes = parts.flatMap(({ at }, i) => [
          [2 * at, (byLnK * ks[i]) / k],
          [2 * at + 1, (byLnS * ss[i]) / s],
        ]);
        sums.cost += residual * residual;
        for (const [i, slope] of slopes) {
          sums.gradient[i] += slope * residual;
          for (const [j, other] of slopes) sums.normal[i * n + j] += slope * other;
        }
      };
      const noise = noiseOfReflectance(layer.reflectance[band]);
      add(
        (layer.reflectance[band] - read.reflectance) / noise,
        read.reflectanceByLnK / noise,
        read.reflectanceByLnS / noise,
      );
      if (layer.transmittance === undefined || theory.transmitted.kind === 'none') continue;
      const scale = 1 / (read.transmittance + LN_T.floor) / LN_T.spread;
      add(
        (lnTransmittance(layer.transmittance[band]) - lnTransmittance(read.transmittance)) /
          LN_T.spread,
        read.transmittanceByLnK * scale,
        read.transmittanceByLnS * scale,
      );
    }
    return sums;
  }
}

interface System {
  cost: number;
  /** n x n by rows. */
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
}

function descend(start: readonly number[], system: (x: readonly number[]) => System) {
  let x = [...start];
  let now = system(x);
  let damping = 0.01;
  for (let step = 0; step < STEPS && damping < 1e6; step++) {
    const n = x.length;
    const matrix = Matrix.from1DArray(n, n, now.normal);
    for (let i = 0; i < n; i++) matrix.set(i, i, matrix.get(i, i) * (1 + damping));
    const move = new CholeskyDecomposition(matrix)
      .solve(Matrix.columnVector(now.gradient))
      .to1DArray();
    // After a far step in ln K the slopes mean nothing.
    const scale = Math.min(1, 2 / Math.max(...move.map(Math.abs), 1e-12));
    const tried = x.map((value, i) => value + scale * move[i]);
    const next = system(tried);
    if (next.cost >= now.cost) {
      damping *= 8;
      continue;
    }
    const gain = now.cost - next.cost;
    x = tried;
    now = next;
    damping = Math.max(1e-6, damping / 5);
    if (gain < 1e-5 * now.cost) break;
  }
  return { x, cost: now.cost };
}

/** Learns each paint from its own layers alone. */
export function learnEach(
  theory: FilmTheory,
  layers: readonly Layer[],
  paper: Float64Array,
): Paints {
  const byPaint = new Map<string, Layer[]>();
  for (const layer of layers) {
    const { paint } = layer.parts[0];
    byPaint.set(paint, [...(byPaint.get(paint) ?? []), layer]);
  }
  return new Map([...byPaint.values()].flatMap((own) => [...learnPaints(theory, own, paper)]));
}
