import { type MixNode, orderMixes, USUAL_DENSITY } from './mix-graph.ts';

/** What a recipe asks of, as grams of blocks and powders. */
export interface ClayNeed {
  readonly mixes: Pick<ReadonlyMap<string, MixNode>, 'get' | 'has'>;
  /** Of a block; nothing where nobody measured it. */
  readonly densityGPerCm3: (block: string) => number | undefined;
  /** Grams at hand of a block, powder or mixed lump; nothing where none was ever weighed. */
  readonly grams: (id: string) => number | undefined;
}

/** What is lacking by less than this share is rounding. */
const ROUNDING = 1e-9;

/**
 * Whether a batch of a mix can be made of what is at hand. A lump of a mix among the clays is used
 * up first; what is still lacking of it is mixed from its own parts.
 * Shape:   id of a mix and grams of the batch -> ids of what runs short or was never weighed, the
 *          first `most` of them
 * Units:   g; parts as the mix counts them, densities g/cm3
 * Holds:   nothing short means the grams of no block or powder are asked for twice over. Each mix is
 *          looked at once, after all that ask for it, so the work grows with the parts that are
 *          reached, however often one mix is part of others
 * Limits:  a block of unmeasured density counts with the usual one; where mixes are made of one
 *          another in a circle, the first of them runs short whatever is at hand
 */
export function shortOf(
  id: string,
  batchG: number,
  ask: ClayNeed,
  most = Number.POSITIVE_INFINITY,
): readonly string[] {
  const { mixes } = ask;
  const alone = mixes.get(id);
  if (alone !== undefined && isFlat(alone, mixes) && !((ask.grams(id) ?? 0) > 0)) {
    return shortOfFlat(alone, batchG, ask, most);
  }
  const order = orderMixes(mixes, (of) => !mixes.has(of), [id]);
  if (order.status === 'circle') return order.circle.slice(0, 1);
  const claysFirst = order.status === 'ordered' ? order.mixes : [];
  const masses = massesOf(claysFirst, ask);
  const wanted = new Map([[id, batchG]]);
  const add = (of: string, grams: number) => wanted.set(of, (wanted.get(of) ?? 0) + grams);
  const lacking = (of: string): number => {
    const wantedG = wanted.get(of) ?? 0;
    const lacksG = wantedG - Math.max(0, ask.grams(of) ?? 0);
    return lacksG > ROUNDING * wantedG ? lacksG : 0;
  };
  for (const of of claysFirst.toReversed()) {
    const lacksG = lacking(of);
    if (lacksG === 0) continue;
    const { parts, powders = [] } = mixes.get(of)!;
    const own = masses.get(of)!;
    const whole = own.reduce((sum, mass) => sum + mass, 0);
    const clayG = lacksG * (1 - powders.reduce((sum, { share }) => sum + share, 0));
    parts.forEach(({ clay }, i) => {
      add(clay, (clayG * own[i]) / whole);
    });
    for (const { powder, share } of powders) add(powder, lacksG * share);
  }
  const short: string[] = [];
  for (const of of wanted.keys()) {
    if (short.length >= most) break;
    if (!mixes.has(of) && lacking(of) > 0) short.push(of);
  }
  return short;
}

/** Most mixes are of blocks alone, each once: nothing has to be put in order, and nothing added up. */
function isFlat({ parts, powders }: MixNode, mixes: ClayNeed['mixes']): boolean {
  return (
    powders === undefined &&
    parts.every(
      ({ clay }, i) => !mixes.has(clay) && parts.findIndex((part) => part.clay === clay) === i,
    )
  );
}

function shortOfFlat(
  { basis, parts }: MixNode,
  batchG: number,
  { grams, densityGPerCm3 }: ClayNeed,
  most: number,
): readonly string[] {
  const masses = parts.map(({ clay, parts: count }) =>
    basis === 'weight' ? count : count * (densityGPerCm3(clay) ?? USUAL_DENSITY.value),
  );
  const whole = masses.reduce((sum, mass) => sum + mass, 0);
  const short = parts.filter(({ clay }, i) => {
    const wantedG = (batchG * masses[i]) / whole;
    return wantedG - Math.max(0, grams(clay) ?? 0) > ROUNDING * wantedG;
  });
  return short.slice(0, most).map(({ clay }) => clay);
}

/** What the parts of each mix weigh against one another; the mixes stand clays first. */
function massesOf(
  claysFirst: readonly string[],
  { mixes, densityGPerCm3 }: ClayNeed,
): ReadonlyMap<string, readonly number[]> {
  const densities = new Map<string, number>();
  const densityOf = (of: string) => densities.get(of) ?? densityGPerCm3(of) ?? USUAL_DENSITY.value;
  return new Map(
    claysFirst.map((of) => {
      const { basis, parts } = mixes.get(of)!;
      const masses = parts.map(({ clay, parts: count }) =>
        basis === 'weight' ? count : count * densityOf(clay),
      );
      const volume = parts.reduce((sum, { clay }, i) => sum + masses[i] / densityOf(clay), 0);
      densities.set(of, masses.reduce((sum, mass) => sum + mass, 0) / volume);
      return [of, masses];
    }),
  );
}
