import { invalidInput } from '../errors.ts';

/**
 * How the boundary between clay and air reflects light.
 * `outer` (k1) is the share of incident light the surface sends back before it enters, `inner` (k2)
 * the share of diffuse light inside that the surface sends back inwards. `glossShare` says how much of the
 * outer part a reading holds: 1 with the gloss, 0 without.
 */
export interface Surface {
  readonly outer: number;
  readonly inner: number;
  readonly glossShare: number;
}

/** Whether a reading holds the gloss; a number 0-1 where that was worked out from the readings. */
export type Gloss = 'included' | 'excluded' | number;

/** Share of the outer reflection that a reading holds, 0-1. */
export function glossShareOf(gloss: Gloss): number {
  if (typeof gloss === 'number') return gloss;
  return gloss === 'included' ? 1 : 0;
}

/**
 * Surface of a body of refractive index 1.5 seen near the normal: k1 = 0.04, k2 = 0.6 (0.596 from
 * the index; 0.4-0.6 in practice).
 * Source: Fresnel's equations at index 1.5; [ORM2] ch. 7 for the range
 */
export function claySurface(gloss: Gloss): Surface {
  return { outer: 0.04, inner: 0.6, glossShare: glossShareOf(gloss) };
}

/**
 * Reading that an instrument makes of a body of given internal reflectance.
 * Units:   reflectances 0-1
 * Holds:   internal 0 gives k1 (specular included) or 0 (excluded); internal 1 gives 1 or 1 - k1
 * Source:  [Saunderson1942]
 */
export function measuredFromInternal(internal: number, surface: Surface): number {
  const { outer, inner, glossShare } = surface;
  const fromBody = ((1 - outer) * (1 - inner) * internal) / (1 - inner * internal);
  return glossShare * outer + fromBody;
}

/** Slope of {@link measuredFromInternal}: positive and finite for internal 0-1 and inner < 1. */
export function measuredSlope(internal: number, surface: Surface): number {
  const { outer, inner } = surface;
  return ((1 - outer) * (1 - inner)) / (1 - inner * internal) ** 2;
}

/**
 * Internal reflectance that gives a reading.
 * Units:   reflectances 0-1
 * Refuses: a reading darker than the surface alone or brighter than a perfect body is held at 0 or
 *          1, because an instrument's noise goes there; NaN -> invalid-input
 * Source:  [Saunderson1942] solved for the inner value
 */
export function internalFromMeasured(measured: number, surface: Surface): number {
  if (Number.isNaN(measured))
    throw invalidInput('A reading that is not a number has no internal reflectance.');
  const { outer, inner, glossShare } = surface;
  const fromBody = measured - glossShare * outer;
  const internal = fromBody / ((1 - outer) * (1 - inner) + inner * fromBody);
  return Math.min(1, Math.max(0, internal));
}
