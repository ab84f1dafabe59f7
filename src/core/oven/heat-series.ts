import { invalidInput } from '../errors.ts';

/** Bodies of one material that are heated from outside alike. */
export type Body = 'slab' | 'cylinder' | 'sphere';

const TERMS = 8;
/** Below this time, in L^2 over diffusivity, the middle has not moved by a thousandth of the rise. */
const LEAST_FOURIER = 0.02;

/** Where the Bessel function J1 is zero, with 0 before. Source: [AbramowitzStegun1964] table 9.5 */
const J1_ZEROS = [
  0, 3.83170597, 7.01558667, 10.17346814, 13.32369194, 16.47063005, 19.61585851, 22.76008438,
  25.90367209,
];

/**
 * J0 and J1 by their integrals over half a turn; the sum over equal steps is exact to 1e-12 up to 30,
 * since its error is a Bessel function of twice as many steps.
 * Source:  [AbramowitzStegun1964] 9.1.18 and 9.1.21
 */
function bessel(order: 0 | 1, x: number): number {
  const steps = 14 + Math.ceil(0.6 * x);
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const turn = (Math.PI * (i + 0.5)) / steps;
    sum += Math.cos(order * turn - x * Math.sin(turn));
  }
  return sum / steps;
}

/** One root and its factor for each term of the series. */
export interface SeriesTerm {
  readonly zeta: number;
  readonly factor: number;
}

/**
 * Terms of the series for the middle of a body.
 * Shape:   body, Biot number h L / k -> 8 terms, or the first few
 * Refuses: a Biot number that is not above 0 -> invalid-input
 * Source:  [CarslawJaeger1959] 3.11, 7.7, 9.4
 */
export function seriesTerms(body: Body, biot: number, terms = TERMS): readonly SeriesTerm[] {
  if (!(biot > 0 && Number.isFinite(biot))) throw invalidInput('A Biot number is not above 0.');
  return Array.from({ length: terms }, (_, n) => {
    const zeta = rootOf(body, biot, n);
    return { zeta, factor: factorOf(body, zeta) };
  });
}

function rootOf(body: Body, biot: number, n: number): number {
  if (body === 'slab') {
    const miss = (z: number) => z * Math.sin(z) - biot * Math.cos(z);
    return bisected(miss, n * Math.PI, (n + 0.5) * Math.PI);
  }
  if (body === 'sphere') {
    const miss = (z: number) => (1 - biot) * Math.sin(z) - z * Math.cos(z);
    return bisected(miss, Math.max(1e-9, n * Math.PI), (n + 1) * Math.PI);
  }
  const miss = (z: number) => z * bessel(1, z) - biot * bessel(0, z);
  return bisected(miss, J1_ZEROS[n], J1_ZEROS[n + 1]);
}

/** The one root between two places of unlike sign. */
function bisected(miss: (z: number) => number, from: number, to: number): number {
  let [low, high] = [from, to];
  const below = miss(low) < 0;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (miss(middle) < 0 === below) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function factorOf(body: Body, z: number): number {
  if (body === 'slab') return (4 * Math.sin(z)) / (2 * z + Math.sin(2 * z));
  if (body === 'sphere') {
    return (4 * (Math.sin(z) - z * Math.cos(z))) / (2 * z - Math.sin(2 * z));
  }
  const [j0, j1] = [bessel(0, z), bessel(1, z)];
  return ((2 / z) * j1) / (j0 ** 2 + j1 ** 2);
}

/**
 * Share of the rise that the middle has still before it: 1 at the start, near 0 at the end.
 * Units:   time in L^2 over diffusivity (Fourier number); 0-1
 * Holds:   falls with time; within 0.01 K of finite volumes for a rise of 110 K
 */
export function restAtMiddle(terms: readonly SeriesTerm[], fourier: number): number {
  if (fourier < LEAST_FOURIER) return 1;
  const sum = terms.reduce(
    (all, { zeta, factor }) => all + factor * Math.exp(-fourier * zeta ** 2),
    0,
  );
  return Math.min(1, sum);
}

/** The Fourier number at which the middle has only `rest` of its rise before it. */
export function fourierUntil(terms: readonly SeriesTerm[], rest: number): number {
  let [low, high] = [LEAST_FOURIER, LEAST_FOURIER + Math.log(1000 / rest) / terms[0].zeta ** 2];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (restAtMiddle(terms, middle) > rest) low = middle;
    else high = middle;
  }
  return high;
}
