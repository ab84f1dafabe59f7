import { departureSpread, drawnColours, learnedDepartures } from '../belief/drawn-colours.ts';
import { deltaE2000At } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { spreadOfDraws } from '../numeric/spread-of-draws.ts';
import { MATCH } from '../verdict/verdict.ts';
import type { LumpBelief } from './lump-belief.ts';

/** What is believed of the colour of a mended lump, or of a mix made afresh. */
export interface Outlook {
  /** Mean over the belief. */
  readonly lab: Lab;
  /** 3 x 3 by rows, CIELAB units squared. */
  readonly covariance: Float64Array;
  /** Mean dE00 to the aim that is to be expected. */
  readonly expected: number;
  /** Chance of a match. */
  readonly chance: number;
  /** By draw, dE00 to the aim. */
  readonly apart: Float64Array;
}

const SEED = 11;

/**
 * Looks at mixes in every draw of a belief about a lump.
 * Shape:   pieces added to the lump, none for the lump as it is; with `lump` false a mix by itself
 * Method:  what was added is cut with an error of its own and departs as combinations do; the same for every
 *          mix that is looked at, so that two mixes are compared fairly
 */
export function outlookOn({ unknowns, options, draws }: LumpBelief, aim: Lab) {
  const { model } = unknowns.predictor;
  const chance = seededChance(SEED);
  const normals = () => Float64Array.from(model.clays, () => chance.normal());
  const hands = draws.map(normals);
  const departures = draws.map(normals);
  const colourInto = drawnColours(unknowns, options.geometry);
  const spreads = model.clays.map((_, clay) => departureSpread(model, clay));
  const out = new Float64Array(3);

  return (add: WholeParts, lump = true): Outlook => {
    const labs = new Float64Array(3 * draws.length);
    const apart = new Float64Array(draws.length);
    const known = new Map<string, ReturnType<typeof learnedDepartures>>();
    draws.forEach(({ at, draw, clays, amounts, departures: own }, n) => {
      const held = lump ? at.lump : [];
      const indices = held.map((part) => part.clay);
      const intended = held.map((part) => part.parts);
      const truly = held.map((_, i) => amounts[i]);
      for (const { clay, parts } of add) {
        const cut = parts * Math.exp(options.partsSpread * hands[n][clay]);
        const place = indices.indexOf(clay);
        if (place >= 0) {
          intended[place] += parts;
          truly[place] += cut;
        } else {
          indices.push(clay);
          intended.push(parts);
          truly.push(cut);
        }
      }
      const key = indices.join(' ');
      if (!known.has(key)) {
        known.set(key, indices.length > 1 ? learnedDepartures(unknowns, indices) : undefined);
      }
      const learned = known.get(key);
      const main = intended.indexOf(Math.max(...intended));
      const counted = truly.map((amount, i) => {
        const clay = indices[i];
        if (indices.length === 1) return amount;
        if (learned !== undefined) return amount * Math.exp(learned(clay, draw));
        if (i < held.length) return amount * Math.exp(own[i]);
        return i === main ? amount : amount * Math.exp(spreads[clay] * departures[n][clay]);
      });
      colourInto(out, clays, draw, indices, counted, intended);
      labs.set(out, 3 * n);
      apart[n] = deltaE2000At(aim[0], aim[1], aim[2], out[0], out[1], out[2]);
    });
    return summed(labs, apart);
  };
}

function summed(labs: Float64Array, apart: Float64Array): Outlook {
  const { mean, covariance } = spreadOfDraws(labs);
  const count = apart.length;
  let expected = 0;
  let matches = 0;
  for (const dE00 of apart) {
    expected += dE00 / count;
    if (dE00 <= MATCH) matches++;
  }
  return { lab: mean, covariance, expected, chance: matches / count, apart };
}
