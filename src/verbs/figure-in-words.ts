import type { BlockUse } from '../core/figure/blocks-used.ts';
import { sentenceStart } from '../core/sentence-start.ts';
import type { PaintAnswer } from './figure-paint.ts';

/** What is to be done about a block: bought, opened, or nothing. */
export function usesInWords({ onHandG, buy, lacksG, leftG, packageG }: BlockUse): string {
  const have = onHandG === undefined ? '' : `${wholeG(onHandG)} at hand, `;
  const left = leftG === undefined ? '' : `, ${wholeG(leftG)} left over`;
  if (lacksG === 0) return `${have}nothing to buy${left}`;
  if (buy === undefined) return `${have}${wholeG(lacksG)} to buy`;
  const packages = `${buy} ${buy === 1 ? 'package' : 'packages'}${packageG === undefined ? '' : ` of ${wholeG(packageG)}`}`;
  return `${have}buy ${packages}${left}`;
}

function wholeG(grams: number): string {
  return `${grams < 9.95 ? Number(grams.toFixed(1)) : Math.round(grams)} g`;
}

/** Coats, paint and time of a painted part; then the same part in clay of that colour. */
export function paintInWords(
  paint: PaintAnswer,
  { copies, hourlyMinor, money }: PaintTerms,
): readonly string[] {
  const { colour, coats, undercoats, fewest, most, areaCm2, ml, minutes, hides, dE00 } = paint;
  const white = undercoats === 0 ? '' : `${counted(undercoats, 'white coat')} and `;
  const hand =
    fewest === undefined || most === undefined || fewest === most
      ? ''
      : ` (${fewest} to ${most} in all, by how thickly you brush)`;
  const needs = `${Math.round(copies * areaCm2)} cm2, about ${(copies * ml).toFixed(1)} ml and ${timeInWords(copies * minutes)} of brushing`;
  const first =
    colour === undefined
      ? `${counted(coats, 'coat')} on ${needs}.`
      : `${white}${counted(coats, 'coat')} of ${colour}${hand} ${hides === false ? 'do not hide' : 'hide'} the clay: ${needs}.`;
  const shows =
    hides === false && dE00 !== undefined
      ? [`The clay still shows: ${dE00.toFixed(1)} away from the paint's own colour.`]
      : [];
  return [sentenceStart(first), ...shows, ...insteadInWords(paint, { copies, hourlyMinor, money })];
}

export interface PaintTerms {
  readonly copies: number;
  /** Pay for an hour, where it is known. */
  readonly hourlyMinor: number | undefined;
  readonly money: (minor: number) => string;
}

function insteadInWords(
  { instead, minutes }: PaintAnswer,
  { copies, hourlyMinor, money }: PaintTerms,
): readonly string[] {
  if (instead === undefined) return [];
  const { grams, minor, paintedMinor } = instead;
  const clay = `${wholeG(copies * grams)} of clay of that colour`;
  if (minor === undefined || paintedMinor === undefined) return [`Instead: ${clay}, and no brush.`];
  const work = hourlyMinor === undefined ? 0 : (minutes / 60) * hourlyMinor;
  const painted = `${money(copies * (paintedMinor + work))} ${hourlyMinor === undefined ? 'for the clay under the paint' : 'for the clay under the paint and the brushing'}`;
  return [
    `Instead: ${clay}, ${money(copies * minor)}; painted it is ${painted}, without the paint.`,
  ];
}

function timeInWords(minutes: number): string {
  if (minutes < 55) return `${Math.max(1, Math.round(minutes))} min`;
  return `${(minutes / 60).toFixed(1)} h`;
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
