import { labFromLch } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdictWord } from '../../core/verdict/verdict.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { listed } from '../find/find-request-in-words.ts';
import { comparedTo, type Edge, hueOfSector, nearestOf } from './gamut-edge.ts';

/** A chroma at which the name of a hue is told, where nothing is reached. */
const NAMED = 40;

export function edgeInWords(edge: Edge, lightness: number): string {
  const most = edge.indexOf(Math.max(...edge));
  if (edge[most] < 1) return `No mix of these clays is that ${lightness > 60 ? 'light' : 'dark'}.`;
  const least = edge.indexOf(Math.min(...edge));
  return `At this lightness they reach farthest towards ${hueInWords(most, lightness, edge[most])}, and least towards ${hueInWords(least, lightness, NAMED)}.`;
}

/** Where the second of two stocks goes farther, and where it stays behind. */
export function comparisonInWords(
  edge: Edge,
  other: Edge,
  name: string,
  lightness: number,
): string {
  const { farther, nearer } = comparedTo(other, edge);
  const told = [
    ...(farther === undefined
      ? []
      : [`reaches farther towards ${hueInWords(farther, lightness, other[farther])}`]),
    ...(nearer === undefined
      ? []
      : [`stays behind towards ${hueInWords(nearer, lightness, edge[nearer])}`]),
  ];
  return `Dashed, ${name}: ${told.length === 0 ? 'reaches no farther and no less at this lightness' : listed(told)}.`;
}

/** Whether an aim lies inside what some colours reach, by the nearest of them. */
export function aimInWords(
  aim: Lab,
  points: readonly Lab[],
  tolerance: number,
  whose: string,
): string {
  const nearest = nearestOf(points, aim);
  if (nearest === undefined) return `${whose}: no clay to mix from.`;
  const { lab, dE00 } = nearest;
  if (dE00 <= tolerance) {
    return `${whose}: your aim lies inside. A mix of two or three of them can have it.`;
  }
  const sides = sidesOf(aim, lab).filter(({ size }) => size >= 0.8);
  const off = sides.length === 0 ? 'a little off' : listed(sides.map(sideInWords));
  const close = verdictWord(dE00) === 'close' ? ', though close' : '';
  return `${whose}: your aim lies outside${close}. Closest mix is ${off}.`;
}

function hueInWords(sector: number, lightness: number, chroma: number): string {
  return spokenColour(labFromLch([lightness, Math.max(chroma, 8), hueOfSector(sector)]));
}
