import { type MixNode, USUAL_DENSITY } from './mix-graph.ts';

/** What a recipe asks of, as grams of blocks and powders. */
export interface StockQuestion {
  readonly mixes: ReadonlyMap<string, MixNode>;
  /** Of a block; nothing where nobody measured it. */
  readonly densityGPerCm3: (block: string) => number | undefined;
  /** Grams at hand of a block, powder or mixed lump; nothing where none was ever weighed. */
  readonly grams: (id: string) => number | undefined;
}

/** Mixes inside one another, at most. */
const DEEPEST = 40;

/**
 * Whether a batch of a mix can be made of what is at hand. A lump of a mix among the parents is used
 * up first; what is still lacking of it is mixed from its own parts.
 * Shape:   id of a mix and grams of the batch -> ids of what runs short or was never weighed, the
 *          first `most` of them
 * Units:   g; parts as the mix counts them, densities g/cm3
 * Holds:   nothing short means the grams of no block or powder are asked for twice over
 * Limits:  a block of unmeasured density counts with the usual one; a circle runs short of itself
 */
export function shortOf(
  id: string,
  batchG: number,
  ask: StockQuestion,
  most = Number.POSITIVE_INFINITY,
): readonly string[] {
  const left = new Map<string, number | undefined>();
  const short = new Set<string>();
  const densities = new Map<string, number>();

  const take = (of: string, wantedG: number): number => {
    const had = left.has(of) ? left.get(of) : ask.grams(of);
    const used = Math.min(Math.max(0, had ?? 0), wantedG);
    left.set(of, had === undefined ? undefined : had - used);
    return wantedG - used;
  };
  const make = (of: string, wantedG: number, depth: number): void => {
    const lacksG = take(of, wantedG);
    if (lacksG <= wantedG * 1e-9) return;
    const mix = ask.mixes.get(of);
    if (mix === undefined || depth > DEEPEST) {
      short.add(of);
      return;
    }
    const powders = mix.powders ?? [];
    const clayG = lacksG * (1 - powders.reduce((sum, { share }) => sum + share, 0));
    const masses = massesOf(mix, depth);
    const whole = masses.reduce((sum, mass) => sum + mass, 0);
    for (const [i, { parent }] of mix.parts.entries()) {
      if (short.size >= most) return;
      make(parent, (clayG * masses[i]) / whole, depth + 1);
    }
    for (const { powder, share } of powders) make(powder, lacksG * share, depth + 1);
  };
  const massesOf = ({ basis, parts }: MixNode, depth: number): readonly number[] =>
    parts.map(({ parent, parts: count }) =>
      basis === 'weight' ? count : count * densityOf(parent, depth + 1),
    );
  const densityOf = (of: string, depth: number): number => {
    const known = densities.get(of);
    if (known !== undefined) return known;
    const mix = depth > DEEPEST ? undefined : ask.mixes.get(of);
    let density = ask.densityGPerCm3(of) ?? USUAL_DENSITY.value;
    if (mix !== undefined) {
      const masses = massesOf(mix, depth);
      const volume = mix.parts.reduce(
        (sum, { parent }, i) => sum + masses[i] / densityOf(parent, depth + 1),
        0,
      );
      density = masses.reduce((sum, mass) => sum + mass, 0) / volume;
    }
    densities.set(of, density);
    return density;
  };

  make(id, batchG, 0);
  return [...short];
}
