import { VERDICT_LIMITS } from '../verdict/verdict.ts';
import { ORDERS } from './recipe-order.ts';

/** Limits on a question; beyond them a search would not end or a recipe could not be cut. */
export const FIND_LIMITS = {
  tolerance: [0.01, 100],
  clays: [1, 8],
  parts: [1, 100],
  top: [1, 1000],
  'most-lines': [1, 50],
  'half-part': [0.05, 50],
  batch: [0.1, 100_000],
  seconds: [0.1, 3600],
} as const satisfies Record<string, readonly [number, number]>;

/** Differences that may count for half when nothing is close enough. */
export const RELAX = ['lightness', 'chroma', 'hue'] as const;
export type Relax = (typeof RELAX)[number];

/** What is asked where a question leaves it open; 1.8 is a match. */
export const FIND_DEFAULTS = {
  tolerance: 1.8,
  mostClays: 4,
  parts: 12,
  order: ORDERS[0],
  top: 10,
} as const;

/** Values that forms offer, where any number within the limits would do. */
export const FIND_CHOICES = {
  tolerance: VERDICT_LIMITS.map(([, limit]) => limit),
  mostClays: [1, 2, 3, 4, 5],
  parts: [4, 6, 8, 10, 12, 16, 20, 24, 32],
  mostLines: [1, 2, 3],
  halfPart: VERDICT_LIMITS.slice(0, 3).map(([, limit]) => limit),
} as const satisfies Record<string, readonly number[]>;
