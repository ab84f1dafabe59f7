import fc from 'fast-check';

const STEPS = 1_000_000_000;

/**
 * Numbers spread evenly between two bounds, both of them often tried. `fc.double` spreads evenly
 * over the floats instead, most of which are close to 0.
 */
export function between(min: number, max: number): fc.Arbitrary<number> {
  return fc.integer({ min: 0, max: STEPS }).map((step) => min + ((max - min) * step) / STEPS);
}

/** Numbers from 10^from to 10^to, every decade as often. */
export function decades(from: number, to: number): fc.Arbitrary<number> {
  return between(from, to).map((exponent) => 10 ** exponent);
}
