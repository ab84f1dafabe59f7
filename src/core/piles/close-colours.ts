import { deltaE2000At } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';

/** S_L of CIEDE2000 is at most this. */
const MOST_S_L = 1.75;

/** Colours that recipes are compared with, each with its own limit. */
export interface CloseColours {
  /** Takes the limits of the colours for the recipes that follow; 0 leaves a colour out. */
  limit(limitOf: (place: number) => number): void;
  /** The colours that a recipe is closer to than their limits, with the difference, dE00. */
  visit(lab: ArrayLike<number>, found: (place: number, dE00: number) => void): void;
  /** A smaller limit of one colour. */
  narrow(place: number, limit: number): void;
}

/**
 * Finds which of many colours a recipe is close to, without comparing it with all of them: most are too far
 * in lightness alone. Colours with a limit beyond `usual` are compared one by one.
 */
export function closeColours(labs: readonly Lab[], usual: number): CloseColours {
  const byLightness = labs.map((_, place) => place).sort((a, b) => labs[a][0] - labs[b][0]);
  const limits = new Float64Array(labs.length);
  const places = new Int32Array(labs.length);
  const lightness = new Float64Array(labs.length);
  const chromas = Float64Array.from(labs, chromaOf);
  const apart: number[] = [];
  let count = 0;
  let window = 0;
  return {
    limit(limitOf) {
      count = 0;
      apart.length = 0;
      let widest = 0;
      for (const place of byLightness) {
        const limit = limitOf(place);
        limits[place] = limit;
        if (limit <= 0) continue;
        if (limit > usual) {
          apart.push(place);
          continue;
        }
        places[count] = place;
        lightness[count] = labs[place][0];
        count++;
        if (limit > widest) widest = limit;
      }
      window = MOST_S_L * widest;
    },
    narrow(place, limit) {
      limits[place] = limit;
    },
    visit(lab, found) {
      // Worked out once a recipe, and not for each colour that it is compared with.
      const chroma = chromaOf(lab);
      const most = lab[0] + window;
      for (let i = firstFrom(lab[0] - window); i < count; i++) {
        if (lightness[i] > most) break;
        compare(places[i], lab, chroma, found);
      }
      for (const place of apart) compare(place, lab, chroma, found);
    },
  };

  function compare(
    place: number,
    lab: ArrayLike<number>,
    chroma: number,
    found: (place: number, dE00: number) => void,
  ): void {
    const limit = limits[place];
    const own = labs[place];
    if (limit <= 0 || isFartherBy(limit, own, lab, (chromas[place] + chroma) / 2)) return;
    const dE00 = deltaE2000At(own[0], own[1], own[2], lab[0], lab[1], lab[2]);
    if (dE00 < limit) found(place, dE00);
  }

  /** Place of the first colour that is as light. */
  function firstFrom(least: number): number {
    let from = 0;
    let to = count;
    while (from < to) {
      const middle = (from + to) >> 1;
      if (lightness[middle] < least) from = middle + 1;
      else to = middle;
    }
    return from;
  }
}

/**
 * Whether two colours are farther apart than a limit, by a bound that is quick to work out.
 * Method:  S_L of CIEDE2000 is at most 1.75 and S_C and S_H at most 1 + 0.045 C', where C' is at most the mean
 *          chroma and 7; the term that turns blues is at least -1.74 times the product of the two, and nothing
 *          where neither colour is on the blue side
 * Source:  terms of CIEDE2000, [Sharma2005]; the bound is tested against the formula itself
 */
export function isFartherThan(limit: number, one: Lab, other: ArrayLike<number>): boolean {
  return isFartherBy(limit, one, other, (chromaOf(one) + chromaOf(other)) / 2);
}

/** The same, with the mean chroma of the two. */
function isFartherBy(
  limit: number,
  one: Lab,
  other: ArrayLike<number>,
  meanChroma: number,
): boolean {
  const lightness = (one[0] - other[0]) / MOST_S_L;
  const most = limit * limit;
  if (lightness * lightness > most) return true;
  const a = one[1] - other[1];
  const b = one[2] - other[2];
  const scale = 1 + 0.045 * (meanChroma + 7);
  const turned = one[2] >= 0 && other[2] >= 0 ? 0.999 : 0.13;
  return lightness * lightness + (turned * (a * a + b * b)) / (scale * scale) > most;
}

/** By the root, which is much quicker than `Math.hypot`. */
function chromaOf(lab: ArrayLike<number>): number {
  return Math.sqrt(lab[1] * lab[1] + lab[2] * lab[2]);
}
