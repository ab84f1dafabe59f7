import { invalidInput } from '../errors.ts';
import { bitsOf, gcd, lcm, rational, rationalFromNumber } from '../numeric/rational.ts';
import type { Basis, MixGraph, MixNode } from './mix-graph.ts';

/**
 * The content of a mix, as the smallest whole numbers. All blocks weigh the same here; where that is
 * not so but does not matter, `densityMatters` says it.
 */
export interface WholeComposition {
  readonly clay: bigint;
  readonly blocks: ReadonlyMap<string, bigint>;
  /** By weight, on the scale of the clay. */
  readonly powders: ReadonlyMap<string, bigint>;
  /** Whether shares of the clay depend on densities, seen by volume and by weight. */
  readonly densityMatters: Readonly<Record<Basis, boolean>>;
  /** Whether the weight shares of the powders do. */
  readonly densityMattersToPowders: boolean;
  /** The one density group of all its blocks, or undefined where there are several. */
  readonly group?: string;
}

/** Name of a group that no block of another name has. */
export function densityGroupOf(graph: MixGraph, block: string): string {
  const group = graph.blocks.get(block)?.densityGroup;
  return group === undefined ? `block ${block}` : `group ${group}`;
}

/** Bits of the longest number in a composition. */
export function lengthInBits(composition: WholeComposition): number {
  return bitsOf(weightOf(composition));
}

/** A block holds itself alone. */
export function compositionOfBlock(graph: MixGraph, block: string): WholeComposition {
  return {
    clay: 1n,
    blocks: new Map([[block, 1n]]),
    powders: new Map(),
    densityMatters: { volume: false, weight: false },
    densityMattersToPowders: false,
    group: densityGroupOf(graph, block),
  };
}

/**
 * A mix from the contents of its clays.
 * Shape:   one mix, the composition of each of its clays -> its own
 * Refuses: no parts, a count that is not finite and above 0, powders that are no shares or
 *          leave no clay -> invalid-input
 * Holds:   powders take no room: a volume part of a powdered clay is a part of its clay; by weight
 *          the powder is weighed with it
 */
export function compose(
  { basis, parts, powders = [] }: MixNode,
  clayOf: (id: string) => WholeComposition,
): WholeComposition {
  if (parts.length === 0) throw invalidInput('A mix has no parts.');
  const clays = parts.map(({ clay, parts: count }) => {
    if (!(count > 0)) throw invalidInput(`A mix has ${count} parts of something.`);
    const of = clayOf(clay);
    const whole = basis === 'weight' ? weightOf(of) : of.clay;
    const amount = rationalFromNumber(count);
    return { of, scale: rational(amount.num, amount.den * whole) };
  });
  const common = clays.reduce((sum, { scale }) => lcm(sum, scale.den), 1n);
  const blocks = new Map<string, bigint>();
  const dust = new Map<string, bigint>();
  for (const { of, scale } of clays) {
    const times = scale.num * (common / scale.den);
    for (const [id, n] of of.blocks) blocks.set(id, (blocks.get(id) ?? 0n) + n * times);
    for (const [id, n] of of.powders) dust.set(id, (dust.get(id) ?? 0n) + n * times);
  }
  const partsHavePowder = dust.size > 0;
  addPowders(blocks, dust, powders);
  divideByCommon(blocks, dust);

  const groups = new Set(clays.map(({ of }) => of.group));
  const group = groups.size === 1 ? clays[0].of.group : undefined;
  const single = new Set(parts.map(({ clay }) => clay)).size === 1;
  const matters = (view: Basis) =>
    group === undefined &&
    ((basis !== view && !single) || clays.some(({ of }) => of.densityMatters[view]));
  const powdersMatter =
    partsHavePowder &&
    group === undefined &&
    (clays.some(({ of }) => of.densityMattersToPowders) || (basis === 'volume' && !single));
  return {
    clay: sum(blocks),
    blocks,
    powders: dust,
    densityMatters: {
      volume: matters('volume'),
      weight: matters('weight'),
    },
    densityMattersToPowders: powdersMatter,
    ...(group === undefined ? {} : { group }),
  };
}

/** Clay with its powders. */
export function weightOf({ clay, powders }: WholeComposition): bigint {
  return clay + sum(powders);
}

function sum(amounts: ReadonlyMap<string, bigint>): bigint {
  let total = 0n;
  for (const n of amounts.values()) total += n;
  return total;
}

function addPowders(
  blocks: Map<string, bigint>,
  dust: Map<string, bigint>,
  powders: NonNullable<MixNode['powders']>,
): void {
  if (powders.length === 0) return;
  const shares = powders.map(({ powder, share }) => {
    if (!(share > 0 && share < 1)) throw invalidInput(`A mix has a powder share of ${share}.`);
    return { powder, share: rationalFromNumber(share) };
  });
  const common = shares.reduce((all, { share }) => lcm(all, share.den), 1n);
  const parts = shares.map(({ share }) => share.num * (common / share.den));
  const rest = common - parts.reduce((all, n) => all + n, 0n);
  if (rest <= 0n) throw invalidInput('A mix has powders and no clay.');
  const whole = sum(blocks) + sum(dust);
  for (const amounts of [blocks, dust]) {
    for (const [id, n] of amounts) amounts.set(id, n * rest);
  }
  shares.forEach(({ powder }, i) => {
    dust.set(powder, (dust.get(powder) ?? 0n) + parts[i] * whole);
  });
}

function divideByCommon(...maps: readonly Map<string, bigint>[]): void {
  let common = 0n;
  for (const map of maps) {
    for (const n of map.values()) {
      common = gcd(n, common);
      if (common === 1n) return;
    }
  }
  for (const map of maps) {
    for (const [id, n] of map) map.set(id, n / common);
  }
}
