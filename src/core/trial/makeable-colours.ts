import { drawnMixColours } from '../belief/drawn-colours.ts';
import { type ClayUnknowns, clayDrawer, type DrawnClays } from '../belief/draws.ts';
import type { Lab } from '../colour/triples.ts';
import { byParts, type WholeParts } from '../mixes/whole-parts.ts';
import type { Chance } from '../numeric/seeded-chance.ts';
import type { Gloss } from '../optics/surface.ts';

/** Mixes that stand for all that can be made, and how many of them are looked at in every draw. */
const MIXES = 200;
const CLOSEST = 40;
/** Draws by which the closest are chosen. */
const LOOKS = 8;
/** Width of the colour that one mix stands for, CIELAB units an axis: about the distance between them. */
const WIDTH = 4;
/**
 * Chance that a colour somebody wants can be made of the clays, and density of those that cannot: even
 * over all colours of surfaces, about a million cubic units. Judgement, no source.
 */
const CAN_BE_MADE = 0.9;
const ANY_COLOUR = 1e-6;
/** A mix of so many clays at most, whatever the test balls may hold, of each so many parts. */
const MOST_CLAYS = 4;
const MOST_OF_ONE = 4;

export type ChanceOfAim = (clays: DrawnClays, draw: Float64Array, aim: Lab) => number;

/**
 * How likely a colour is wanted, where the clays are as drawn: as likely as mixes of these clays have it.
 * People want colours that their clays can make, so a colour tapped beside all of these was tapped wrong,
 * or the clays are not as believed.
 * Shape:   clays by index, an aim as read, some draws -> natural logarithm of a density
 * Method:  a kernel estimate over mixes of one to four clays, those far from the aim in all draws left out
 */
export function chanceOfAim(
  unknowns: ClayUnknowns,
  geometry: Gloss,
  among: readonly number[],
  aim: Lab,
  draws: readonly Float64Array[],
  chance: Chance,
): ChanceOfAim {
  const colourInto = drawnMixColours(unknowns, geometry, 0);
  const claysOf = clayDrawer(unknowns);
  const out = new Float64Array(3);
  const apart = (clays: DrawnClays, draw: Float64Array, mix: WholeParts, from: Lab) => {
    colourInto(out, clays, draw, mix, undefined, undefined);
    return (out[0] - from[0]) ** 2 + (out[1] - from[1]) ** 2 + (out[2] - from[2]) ** 2;
  };
  const looks = draws.slice(0, LOOKS).map((draw) => ({ draw, clays: claysOf(draw) }));
  const near = Array.from({ length: MIXES }, () => anyMix(among, chance))
    .map((mix) => ({
      mix,
      least: Math.min(...looks.map(({ clays, draw }) => apart(clays, draw, mix, aim))),
    }))
    .sort((a, b) => a.least - b.least)
    .slice(0, CLOSEST);
  const share = CAN_BE_MADE / (MIXES * (WIDTH * Math.sqrt(2 * Math.PI)) ** 3);
  return (clays, draw, wanted) => {
    let sum = (1 - CAN_BE_MADE) * ANY_COLOUR;
    for (const { mix } of near) {
      sum += share * Math.exp(-apart(clays, draw, mix, wanted) / (2 * WIDTH ** 2));
    }
    return Math.log(sum);
  };
}

/** A mix of any number of the clays, in any parts. */
function anyMix(clays: readonly number[], { uniform }: Chance): WholeParts {
  const left = [...clays];
  const whole = (below: number) => Math.floor(below * uniform());
  const count = 1 + whole(Math.min(MOST_CLAYS, left.length));
  return byParts(
    Array.from({ length: count }, () => ({
      clay: left.splice(whole(left.length), 1)[0],
      parts: 1 + whole(MOST_OF_ONE),
    })),
  );
}
