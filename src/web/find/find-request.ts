import type { Lab } from '../../core/colour/triples.ts';
import type { LightName } from '../../core/colour/weights.ts';
import { FIND_DEFAULTS, FIND_LIMITS, RELAX, type Relax } from '../../core/find/find-limits.ts';
import { ORDERS, type Order } from '../../core/find/recipe-order.ts';

/** The colour wanted, and its place in a palette if it comes from one. */
export interface RequestAim {
  readonly lab: Lab;
  readonly words: string;
  readonly palette?: { readonly id: string; readonly aimId: string };
  /** The block whose colour it is, to be mixed from others. */
  readonly blockId?: string;
}

/** A share of a line, a clay type or one block: `line saltmarsh`, `clayType pearl`, `block kelp`. */
export interface RequestShare {
  readonly of: string;
  /** 0-1. */
  readonly share: number;
}

/** A request to find recipes, as saved on this device. Clays and lines by their ids in the book. */
export interface FindRequest {
  readonly aim?: RequestAim;
  readonly tolerance: number;
  readonly mostClays: number;
  readonly parts: number;
  /** Blocks not to be used. */
  readonly without: readonly string[];
  /** Lines to be used; all when absent. */
  readonly lines?: readonly string[];
  /** Blocks with a part in every recipe. */
  readonly must?: readonly string[];
  readonly mostLines?: number;
  readonly atLeast?: readonly RequestShare[];
  readonly atMost?: readonly RequestShare[];
  /** What half a part may move the colour by at most, dE00. */
  readonly halfPart?: number;
  /** Batch size in grams. */
  readonly batchG?: number;
  /** Only clays of which stock has enough for that batch. */
  readonly withinStock?: boolean;
  /** Lights to compare under besides daylight; those of Settings when absent. */
  readonly lights?: readonly LightName[];
  readonly relax?: Relax;
  /** Also pearl, translucent, metallic, glitter and glowing clays. */
  readonly effects?: boolean;
  /** Which recipe comes first; the most likely when absent. */
  readonly order?: Order;
}

/** The usual question: what every shell asks where nothing else is said. */
export const FIRST_REQUEST: FindRequest = {
  tolerance: FIND_DEFAULTS.tolerance,
  mostClays: FIND_DEFAULTS.mostClays,
  parts: FIND_DEFAULTS.parts,
  without: [],
};

/** Shown before anything is chosen, so that there is something to move. */
export const FIRST_AIM: RequestAim = { lab: [55, -12, 20], words: 'a colour to start with' };

/** Lights besides daylight; names of CIE 15:2018, in everyday words. */
export const OTHER_LIGHTS = [
  ['A', 'a warm lamp'],
  ['LED-B3', 'a white LED'],
  ['FL11', 'a tube lamp'],
] as const satisfies readonly (readonly [LightName, string])[];

/** Whether a saved value is a request within all limits. */
export function isFindRequest(saved: unknown): saved is FindRequest {
  if (typeof saved !== 'object' || saved === null) return false;
  const one = saved as Partial<FindRequest>;
  const { tolerance, mostClays, parts, aim, halfPart, batchG, mostLines } = one;
  return (
    within(tolerance, FIND_LIMITS.tolerance) &&
    within(mostClays, FIND_LIMITS.clays) &&
    within(parts, FIND_LIMITS.parts) &&
    (halfPart === undefined || within(halfPart, FIND_LIMITS['half-part'])) &&
    (batchG === undefined || within(batchG, FIND_LIMITS.batch)) &&
    (mostLines === undefined || within(mostLines, FIND_LIMITS['most-lines'])) &&
    isWords(one.without) &&
    [one.lines, one.must].every((list) => list === undefined || isWords(list)) &&
    [one.atLeast, one.atMost].every((list) => list === undefined || isShares(list)) &&
    (one.lights === undefined ||
      (isWords(one.lights) && one.lights.every((l) => OTHER_LIGHTS.some(([own]) => own === l)))) &&
    (one.relax === undefined || RELAX.includes(one.relax)) &&
    (one.order === undefined || ORDERS.includes(one.order)) &&
    (one.effects === undefined || typeof one.effects === 'boolean') &&
    (aim === undefined || isAim(aim))
  );
}

function isAim(aim: unknown): boolean {
  if (typeof aim !== 'object' || aim === null) return false;
  const { lab, words, blockId } = aim as Partial<RequestAim>;
  return (
    typeof words === 'string' &&
    (blockId === undefined || typeof blockId === 'string') &&
    Array.isArray(lab) &&
    lab.length === 3 &&
    lab.every(Number.isFinite)
  );
}

function isShares(list: unknown): boolean {
  return (
    Array.isArray(list) &&
    list.every(
      (one: Partial<RequestShare>) =>
        typeof one?.of === 'string' && within(one.share, [0, 1] as const),
    )
  );
}

function isWords(list: unknown): boolean {
  return Array.isArray(list) && list.every((one) => typeof one === 'string');
}

function within(value: unknown, [low, high]: readonly [number, number]): boolean {
  return typeof value === 'number' && value >= low && value <= high;
}

/** The request with some fields changed; a field set to undefined is removed. */
export function withChange(
  request: FindRequest,
  change: { [K in keyof FindRequest]?: FindRequest[K] | undefined },
) {
  const next: Record<string, unknown> = { ...request, ...change };
  for (const key of Object.keys(next)) {
    const value = next[key];
    const empty =
      Array.isArray(value) && value.length === 0 && key !== 'without' && key !== 'lights';
    if (value === undefined || empty) delete next[key];
  }
  return next as unknown as FindRequest;
}
