import { closestOf, comparedTo, type Edge, hueOfSector } from '../../core/colour/edge.ts';
import { labFromLch } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { inARow } from '../../core/in-a-row.ts';
import { sideInWords, sidesOf, verdictWord } from '../../core/verdict/verdict.ts';
import { spokenColour } from '../colour/spoken-colour.ts';

/** The chroma for naming a hue where no mix has it. */
const NAMED = 40;

export function edgeInWords(edge: Edge, lightness: number): string {
  const most = edge.indexOf(Math.max(...edge));
  if (edge[most] < 1) return `No mix of these clays is this ${lightness > 60 ? 'light' : 'dark'}.`;
  const least = edge.indexOf(Math.min(...edge));
  return `At this lightness your mixes get strongest towards ${hueOf(most, lightness)} and stay weakest towards ${hueOf(least, lightness)}.`;
}

/** Where the second of two stocks has stronger mixes, and where weaker ones. */
export function comparisonInWords(
  edge: Edge,
  other: Edge,
  name: string,
  lightness: number,
): string {
  const { farther, nearer } = comparedTo(other, edge);
  const differences = [
    ...(farther === undefined
      ? []
      : [`stronger in ${hueInWords(farther, lightness, other[farther])}`]),
    ...(nearer === undefined ? [] : [`weaker in ${hueInWords(nearer, lightness, edge[nearer])}`]),
  ];
  return `Dashed line, ${name}: ${differences.length === 0 ? 'the same range at this lightness' : inARow(differences)}.`;
}

/** Whether a wanted colour is inside the range of some colours, by the closest of them. */
export function aimInWords(
  aim: Lab,
  points: readonly Lab[],
  tolerance: number,
  whose: string,
): string {
  const closest = closestOf(points, aim);
  if (closest === undefined) return `${whose}: no clays selected.`;
  const { lab, dE00 } = closest;
  if (dE00 <= tolerance) {
    return `${whose}: your colour is inside the range. A mix of two or three clays can reach it.`;
  }
  const sides = sidesOf(aim, lab).filter(({ size }) => size >= 0.8);
  const off = sides.length === 0 ? 'slightly different' : inARow(sides.map(sideInWords));
  const close = verdictWord(dE00) === 'close' ? ', but close' : '';
  return `${whose}: your colour is outside the range${close}. The closest mix is ${off}.`;
}

const STRENGTH =
  /^(?:(?:very|vivid|brilliant|strong|moderate|deep|light|medium|dark|pale|greyish|grayish|blackish),? )+/;

/** The hue alone: how strong it is, the sentence says. */
function hueOf(sector: number, lightness: number): string {
  return hueInWords(sector, lightness, NAMED).replace(STRENGTH, '');
}

function hueInWords(sector: number, lightness: number, chroma: number): string {
  return spokenColour(labFromLch([lightness, Math.max(chroma, 8), hueOfSector(sector)]));
}
