import { type Basis, type Density, type MixGraph, USUAL_DENSITY } from './mix-graph.ts';
import { densityGroupOf } from './whole-composition.ts';

/** A portion whose size hangs on densities that are known within bounds. */
export interface SpreadShare {
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

export interface SpreadComposition {
  /** Of the clay, by the basis asked for; they sum to 1 at the middle densities. */
  readonly blocks: ReadonlyMap<string, SpreadShare>;
  /** Of the whole weight. */
  readonly powders: ReadonlyMap<string, SpreadShare>;
}

/** A mix with its clays as places in one list of amounts: blocks, then powders. */
interface Step {
  readonly byWeight: boolean;
  readonly clays: readonly {
    readonly block: boolean;
    readonly at: number;
    readonly parts: number;
  }[];
  readonly powders: readonly { readonly at: number; readonly share: number }[];
}

interface Plan {
  readonly blocks: readonly string[];
  readonly powders: readonly string[];
  readonly steps: readonly Step[];
}

/** Part of the way to its bound by which a density is moved to see which way a share goes. */
const NUDGE = 1e-3;

/**
 * Portions of a mix whose recipes cross between volume and weight.
 * Shape:   a graph and the mixes under one of them, clays first, itself last -> portions
 * Units:   density g/cm3, shares 0-1
 * Method:  each group of blocks has one density, anywhere between its bounds and apart from the
 *          others. A share is taken where all densities stand on the bounds that raise it, and on
 *          those that lower it. With one crossing a share rises or falls in every density, and the
 *          bounds are those of all densities; with several on one way down they are near
 * Holds:   low <= share <= high
 */
export function spreadComposition(
  graph: MixGraph,
  order: readonly string[],
  basis: Basis,
): SpreadComposition {
  const plan = planOf(graph, order);
  const densities = groupsOf(graph, plan.blocks);
  const at = (pick: (density: Density, group: number) => number) =>
    portionsAt(plan, densities.ofBlock, densities.groups.map(pick), basis);
  const middle = at(({ value }) => value);
  const ways = densities.groups.map(({ value, low, high }, moved) => {
    const step = Math.max(high - value, value - low) * NUDGE;
    const nudged = at((density, group) => density.value + (group === moved ? step : 0));
    return nudged.map((share, i) => Math.sign(share - middle[i]));
  });
  const corners = new Map<string, Float64Array>();
  const corner = (portion: number, side: 1 | -1): number => {
    const signs = ways.map((way) => way[portion] * side);
    const key = signs.join();
    let found = corners.get(key);
    if (found === undefined) {
      found = at(({ value, low, high }, group) => [low, value, high][signs[group] + 1]);
      corners.set(key, found);
    }
    return found[portion];
  };
  const spread = (portion: number): SpreadShare => ({
    share: middle[portion],
    low: Math.min(middle[portion], corner(portion, -1)),
    high: Math.max(middle[portion], corner(portion, 1)),
  });
  const { blocks, powders } = plan;
  return {
    blocks: new Map(blocks.map((id, i) => [id, spread(i)])),
    powders: new Map(powders.map((id, i) => [id, spread(blocks.length + i)])),
  };
}

function planOf(graph: MixGraph, order: readonly string[]): Plan {
  const steps = new Map(order.map((id, i) => [id, i]));
  const blocks = new Map<string, number>();
  const powders = new Map<string, number>();
  const placeIn = (places: Map<string, number>, id: string) => {
    const place = places.get(id) ?? places.size;
    places.set(id, place);
    return place;
  };
  const drafts = order.map((id) => {
    const mix = graph.mixes.get(id)!;
    return {
      byWeight: mix.basis === 'weight',
      clays: mix.parts.map(({ clay, parts }) => {
        const step = steps.get(clay);
        const block = step === undefined;
        return { block, at: block ? placeIn(blocks, clay) : step, parts };
      }),
      powders: (mix.powders ?? []).map(({ powder, share }) => ({
        at: placeIn(powders, powder),
        share,
      })),
    };
  });
  const planned = drafts.map((draft) => ({
    ...draft,
    powders: draft.powders.map(({ at, share }) => ({ at: blocks.size + at, share })),
  }));
  return { blocks: [...blocks.keys()], powders: [...powders.keys()], steps: planned };
}

function groupsOf(
  graph: MixGraph,
  blocks: readonly string[],
): { readonly groups: readonly Density[]; readonly ofBlock: readonly number[] } {
  const places = new Map<string, number>();
  const groups: Density[] = [];
  const ofBlock = blocks.map((id) => {
    const name = densityGroupOf(graph, id);
    let place = places.get(name);
    if (place === undefined) {
      place = groups.push(graph.blocks.get(id)?.density ?? USUAL_DENSITY) - 1;
      places.set(name, place);
    }
    return place;
  });
  return { groups, ofBlock };
}

/** Portions of the last step's mix: blocks of the clay, powders of the weight. */
function portionsAt(
  { blocks, powders, steps }: Plan,
  ofBlock: readonly number[],
  densities: readonly number[],
  basis: Basis,
): Float64Array {
  const width = blocks.length + powders.length;
  const density = ofBlock.map((group) => densities[group]);
  /** Grams of everything in one gram of each mix, and the cm3 that gram takes. */
  const made: { readonly grams: Float64Array; readonly volumeCm3: number }[] = [];
  for (const step of steps) {
    const grams = new Float64Array(width);
    for (const { block, at, parts } of step.clays) {
      if (block) {
        grams[at] += step.byWeight ? parts : parts * density[at];
        continue;
      }
      const clay = made[at];
      const scale = step.byWeight ? parts : parts / clay.volumeCm3;
      for (let i = 0; i < width; i++) grams[i] += clay.grams[i] * scale;
    }
    const total = grams.reduce((sum, g) => sum + g, 0);
    const rest = step.powders.reduce((left, { share }) => left - share, 1);
    for (let i = 0; i < width; i++) grams[i] *= rest / total;
    for (const { at, share } of step.powders) grams[at] += share;
    // Powders take no room, as in the exact way.
    const volumeCm3 = density.reduce((sum, d, i) => sum + grams[i] / d, 0);
    made.push({ grams, volumeCm3 });
  }
  const { grams } = made[made.length - 1];
  const portions = grams.map((g, i) =>
    i < blocks.length && basis === 'volume' ? g / density[i] : g,
  );
  const clay = portions.subarray(0, blocks.length).reduce((sum, p) => sum + p, 0);
  for (let i = 0; i < blocks.length; i++) portions[i] /= clay;
  return portions;
}
