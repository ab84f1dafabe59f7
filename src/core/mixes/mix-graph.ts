/** Whether a recipe counts equal pieces of clay or weighs them. */
export const BASES = ['volume', 'weight'] as const;
export type Basis = (typeof BASES)[number];

/** Grams per cm3; low and high bound what is believed, and may equal the value. */
export interface Density {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Clay whose density nobody measured. The extremes come from heavily filled and from unfilled
 * clays, the value from one with about a fifth of filler (common practice, no source).
 */
export const USUAL_DENSITY: Density = { value: 1.4, low: 1.2, high: 1.9 };

export interface BlockNode {
  readonly density?: Density;
  /**
   * Blocks of one group are equally dense, by how much ever: their volume and weight parts are the
   * same, and nothing is uncertain between them. Without a group a block stands alone.
   */
  readonly densityGroup?: string;
}

export interface MixPart {
  /** Id of a block or of another mix. */
  readonly clay: string;
  /** Above 0. */
  readonly parts: number;
}

export interface MixPowder {
  readonly powder: string;
  /** 0-1, by weight, of the whole mix with its powders. */
  readonly share: number;
}

export interface MixNode {
  readonly basis: Basis;
  /** A clay named twice is added up. */
  readonly parts: readonly MixPart[];
  readonly powders?: readonly MixPowder[];
}

/** Blocks and mixes by their ids, which name one or the other, never both. */
export interface MixGraph {
  readonly blocks: ReadonlyMap<string, BlockNode>;
  readonly mixes: ReadonlyMap<string, MixNode>;
}

/** An unknown part of a mix. */
export interface UnknownPart {
  readonly mix: string;
  readonly clay: string;
}

export type MixOrder =
  | { readonly status: 'ordered'; readonly mixes: readonly string[] }
  /** Each is made of the next, and the last of the first. */
  | { readonly status: 'circle'; readonly circle: readonly string[] }
  | { readonly status: 'unknown-clay'; readonly unknown: readonly UnknownPart[] };

/**
 * The mixes under some mixes, clays before what is made of them, each once. Below a leaf nothing
 * is looked at: a block is one, and so is a mix that is dealt with already.
 * Units: none; linear in the mixes and parts that are reached, whatever the depth
 * Holds: a circle is reported before an unknown clay; a start that is neither mix nor leaf is unknown
 */
export function orderMixes(
  mixes: Pick<ReadonlyMap<string, Pick<MixNode, 'parts'>>, 'get' | 'has'>,
  isLeaf: (id: string) => boolean,
  starts: Iterable<string>,
): MixOrder {
  const done = new Set<string>();
  const order: string[] = [];
  const unknown: UnknownPart[] = [];
  const path: { id: string; next: number }[] = [];
  const onPath = new Map<string, number>();
  const enter = (id: string) => {
    onPath.set(id, path.length);
    path.push({ id, next: 0 });
  };
  for (const start of starts) {
    if (done.has(start) || isLeaf(start)) continue;
    if (!mixes.has(start)) {
      unknown.push({ mix: start, clay: start });
      continue;
    }
    enter(start);
    while (path.length > 0) {
      const step = path[path.length - 1];
      const part = mixes.get(step.id)?.parts[step.next++];
      if (part === undefined) {
        path.pop();
        onPath.delete(step.id);
        done.add(step.id);
        order.push(step.id);
        continue;
      }
      const { clay } = part;
      const at = onPath.get(clay);
      if (at !== undefined) {
        return { status: 'circle', circle: path.slice(at).map(({ id }) => id) };
      }
      if (done.has(clay) || isLeaf(clay)) continue;
      if (mixes.has(clay)) enter(clay);
      else unknown.push({ mix: step.id, clay });
    }
  }
  if (unknown.length > 0) return { status: 'unknown-clay', unknown };
  return { status: 'ordered', mixes: order };
}
