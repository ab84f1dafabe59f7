import type { ClayModel } from '../clay/clay-model.ts';
import { powerOf, type SharedPhysics } from '../clay/mixture.ts';
import type { Coefficients } from '../clay/prior.ts';
import { BANDS } from '../colour/grid.ts';
import { localMetric } from '../colour/local-metric.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import type { Gloss } from '../optics/surface.ts';
import { type MixEvaluator, mixEvaluator } from '../search/mix-evaluator.ts';

/** What is added to a lump, and how far from the aim the whole is expected to be, dE00 by the local metric. */
export interface MendAddition {
  readonly add: WholeParts;
  readonly apart: number;
}

export interface AdditionOptions {
  readonly aim: Lab;
  readonly weights: ColourWeights;
  readonly geometry: Gloss;
  /** Clays that may be added, by index. */
  readonly clays: readonly number[];
  /** Most different clays added. */
  readonly mostClays: number;
  /** Steps in which clay is added, in pieces, and most steps in all. */
  readonly step: number;
  readonly mostSteps: number;
  /** How many to list for each number of steps. */
  readonly top: number;
}

/** Every third band stands for three: the screen that picks what is worth a closer look. */
const SCREEN = 3;
const LOOKED_AT = 8;
/** All three of so many clays are looked at; of more, the most promising so many. */
const FEW = 16;
/** Sizes of addition by which clays are found promising, as shares of the largest. */
const PAIR_SIZES = [0.25, 0.5, 1] as const;
/** Within this of the aim a larger addition brings nothing. */
const CLOSE = 0.3;

/** A search for additions in progress. */
export interface AdditionRun {
  /** Looks at all additions of one more step; true at the end. */
  step(budget: number): boolean;
  /** By number of steps, smallest first; the closest first within each. */
  readonly found: readonly (readonly MendAddition[])[];
}

/**
 * The additions of at most some clays that bring a lump closest to an aim, for every size of addition.
 * Shape:   pieces in the lump by index, K and S of every clay as believed after the lump was looked at
 * Method:  all additions of a size are screened on every third band and by the metric of small
 *          differences at the aim; the best of them are looked at on all bands. It ends where one
 *          comes within 0.3. Of more than 16 clays, three together are looked at among the 16 alone that
 *          come closest in pairs
 * Limits:  opaque mixes; the screen may miss an addition that is better by less than its own error
 *          (0.1 dE00 on average)
 */
export function startAdditions(
  model: ClayModel,
  coefficients: readonly Coefficients[],
  physics: SharedPhysics,
  lump: WholeParts,
  options: AdditionOptions,
): AdditionRun {
  const { clays, mostClays, step, mostSteps, top, aim } = options;
  const coarse = blend(model, coefficients, physics, lump, options, SCREEN);
  const fine = blend(model, coefficients, physics, lump, options, 1);
  const metric = localMetric(aim);
  const found: MendAddition[][] = [];
  const out = new Float64Array(3);
  const together = mostClays > 2 && clays.length > FEW ? promising() : undefined;

  return {
    found,
    step() {
      const size = found.length + 1;
      if (size > mostSteps) return true;
      const screened = new Closest(top * LOOKED_AT);
      coarse.size(size);
      addTo([], 0, size);
      fine.size(size);
      const looked = screened.entries.map(({ clays: which, counts }): MendAddition => {
        which.forEach((clay, i) => {
          fine.add(i, clay, counts[i]);
        });
        fine.look(which.length, out);
        const add = which.map((at, i) => ({ clay: clays[at], parts: counts[i] * step }));
        return { add, apart: apartOf(out) };
      });
      looked.sort((a, b) => a.apart - b.apart);
      found.push(looked.slice(0, top));
      return size === mostSteps || (looked[0]?.apart ?? 1) < CLOSE;

      /** All ways to share what is left of the steps among clays after the last. */
      function addTo(chosen: readonly number[], from: number, left: number): void {
        const depth = chosen.length / 2;
        const isThird = depth >= 2 && together !== undefined;
        // Places are in order, so the two that are chosen come before a third.
        if (isThird && !(together.has(chosen[0]) && together.has(chosen[2]))) return;
        for (let clay = from; clay < clays.length; clay++) {
          if (isThird && !together.has(clay)) continue;
          const last = depth + 1 === mostClays;
          coarse.add(depth, clay, left);
          coarse.look(depth + 1, out);
          screened.offer(apartOf(out), chosen, clay, left);
          if (last) continue;
          for (let count = 1; count < left; count++) {
            coarse.add(depth, clay, count);
            addTo([...chosen, clay, count], clay + 1, left - count);
          }
        }
      }
    },
  };

  /** Of many clays those, by place, that come closest with one other: three are added of these alone. */
  function promising(): ReadonlySet<number> {
    const least = new Float64Array(clays.length).fill(Number.POSITIVE_INFINITY);
    for (const share of PAIR_SIZES) {
      const size = Math.max(2, Math.round(share * mostSteps));
      coarse.size(size);
      for (let one = 0; one < clays.length; one++) {
        for (const count of new Set([1, Math.ceil(size / 2), size - 1])) {
          coarse.add(0, one, count);
          for (let other = 0; other < clays.length; other++) {
            if (other === one) continue;
            coarse.add(1, other, size - count);
            coarse.look(2, out);
            const apart = apartOf(out);
            least[one] = Math.min(least[one], apart);
            least[other] = Math.min(least[other], apart);
          }
        }
      }
    }
    const byPlace = clays.map((_, place) => place).sort((a, b) => least[a] - least[b]);
    return new Set(byPlace.slice(0, FEW));
  }

  function apartOf(lab: Float64Array): number {
    const l = lab[0] - aim[0];
    const a = lab[1] - aim[1];
    const b = lab[2] - aim[2];
    const lightness = metric[0] * l;
    const chroma = metric[4] * a + metric[5] * b;
    const hue = metric[7] * a + metric[8] * b;
    return Math.sqrt(lightness * lightness + chroma * chroma + hue * hue);
  }
}

/** The additions closest so far: a list in which the farthest is replaced. */
class Closest {
  readonly entries: { apart: number; clays: readonly number[]; counts: readonly number[] }[] = [];
  readonly #most: number;
  #worst = Number.POSITIVE_INFINITY;

  constructor(most: number) {
    this.#most = most;
  }

  offer(apart: number, chosen: readonly number[], clay: number, count: number): void {
    if (!(apart < this.#worst)) return;
    const even = (_: number, i: number) => i % 2 === 0;
    const clays = [...chosen.filter(even), clay];
    const counts = [...chosen.filter((v, i) => !even(v, i)), count];
    const entry = { apart, clays, counts };
    if (this.entries.length < this.#most) this.entries.push(entry);
    else this.entries[this.#at()] = entry;
    if (this.entries.length === this.#most) this.#worst = this.entries[this.#at()].apart;
  }

  #at(): number {
    let at = 0;
    for (let i = 1; i < this.entries.length; i++) {
      if (this.entries[i].apart > this.entries[at].apart) at = i;
    }
    return at;
  }
}

/** Sums of K and S of the lump and of up to some clays added to it, level by level. */
interface Blend {
  /** From now on so many steps are added in all. */
  size(steps: number): void;
  /** Adds steps of a clay (by its place in the list) on top of the first `depth` clays. */
  add(depth: number, clay: number, steps: number): void;
  /** Colour with the first `depth` clays added. */
  look(depth: number, out: Float64Array): void;
}

function blend(
  model: ClayModel,
  coefficients: readonly Coefficients[],
  { dilution, shareExponent }: SharedPhysics,
  lump: WholeParts,
  { weights, geometry, clays, mostClays, step, mostSteps }: AdditionOptions,
  every: number,
): Blend {
  const bands = Array.from({ length: BANDS / every }, (_, i) => i * every + ((every - 1) >> 1));
  const n = bands.length;
  const evaluator: MixEvaluator = mixEvaluator(
    every === 1
      ? weights
      : { ...weights, x: summed(weights.x), y: summed(weights.y), z: summed(weights.z) },
    geometry,
  );
  const pieces = lump.reduce((sum, { parts }) => sum + parts, 0);
  const held = new Map(lump.map(({ clay, parts }) => [clay, parts]));
  const at = (values: Float64Array) => Float64Array.from(bands, (band) => values[band]);
  const curves = coefficients.map(({ absorption, scattering }) => ({
    k: at(absorption),
    s: at(scattering),
  }));
  const isWhite = model.clays.map(({ clayClass }) => clayClass === 'white');
  const powers = model.clays.map(({ clayClass }) => powerOf(clayClass, shareExponent));
  const effects = model.clays.some(({ effect }) => effect !== undefined);

  interface Level {
    white: Float64Array;
    colour: Float64Array;
    scattering: Float64Array;
    all: number;
    coloured: number;
    effect: Float64Array;
  }
  const levels: Level[] = Array.from({ length: mostClays + 1 }, () => ({
    white: new Float64Array(n),
    colour: new Float64Array(n),
    scattering: new Float64Array(n),
    all: 0,
    coloured: 0,
    effect: new Float64Array(3),
  }));
  /** How much `parts` of a clay on top of what the lump holds count for, by place and steps. */
  let gains: Float64Array[] = [];
  let total = pieces;

  const weightOf = (clay: number, parts: number) => (parts / total) ** powers[clay];

  return {
    size(steps) {
      total = pieces + steps * step;
      const [base] = levels;
      base.white.fill(0);
      base.colour.fill(0);
      base.scattering.fill(0);
      base.effect.fill(0);
      base.all = 0;
      base.coloured = 0;
      for (const { clay, parts } of lump) {
        put(base, clay, weightOf(clay, parts), parts);
      }
      gains = clays.map((clay) => {
        const before = held.get(clay) ?? 0;
        const has = before === 0 ? 0 : weightOf(clay, before);
        return Float64Array.from(
          { length: mostSteps + 1 },
          (_, i) => weightOf(clay, before + i * step) - has,
        );
      });
    },
    add(depth, place, steps) {
      const from = levels[depth];
      const to = levels[depth + 1];
      to.white.set(from.white);
      to.colour.set(from.colour);
      to.scattering.set(from.scattering);
      to.all = from.all;
      to.coloured = from.coloured;
      to.effect.set(from.effect);
      put(to, clays[place], gains[place][steps], steps * step);
    },
    look(depth, out) {
      const { white, colour, scattering, all, coloured, effect } = levels[depth];
      const factor = dilution === 0 || coloured === 0 ? 1 : (coloured / all) ** dilution;
      evaluator.labInto(out, white, colour, scattering, factor);
      if (effects) for (let k = 0; k < 3; k++) out[k] += effect[k] / total;
    },
  };

  function put(level: Level, clay: number, weight: number, parts: number): void {
    const { k, s } = curves[clay];
    const target = isWhite[clay] ? level.white : level.colour;
    for (let band = 0; band < n; band++) {
      target[band] += weight * k[band];
      level.scattering[band] += weight * s[band];
    }
    level.all += weight;
    if (!isWhite[clay]) level.coloured += weight;
    const departure = model.clays[clay].effect?.departure;
    if (departure !== undefined)
      for (let i = 0; i < 3; i++) level.effect[i] += parts * departure[i];
  }

  function summed(values: Float64Array): Float64Array {
    return Float64Array.from(bands, (_, i) => {
      let sum = 0;
      for (let j = 0; j < every; j++) sum += values[i * every + j];
      return sum;
    });
  }
}
