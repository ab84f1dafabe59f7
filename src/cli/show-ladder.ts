import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type { LadderAnswer, LadderQuestion, LadderStep } from '../verbs/ladder.ts';
import { partsOf } from './show-gap-report.ts';
import { covarianceRows } from './show-predict.ts';
import { columns, labText, plain, type Screen, swatch } from './terminal-output.ts';

/** The steps of a ladder, one a line, and the shares of a graduated sheet. */
export function ladderText(
  answer: LadderAnswer,
  { viewing }: LadderQuestion,
  screen: Screen,
): string {
  const { steps, unevenness, equalParts, evenWith, evenThrough, preMix, sheet } = answer;
  const rows = columns(
    steps.map((step, i) => [
      String(i + 1),
      piecesText(step),
      plain(formatRecipe(step.parts)),
      labText(step.lab),
      `± ${step.plusMinus.toFixed(1)}`,
    ]),
    'rllll',
  );
  const lines = [
    equalParts === undefined
      ? 'How does the first mix look with more and more of the last?'
      : 'Which even steps lead from one colour to the other?',
    '',
    ...(preMix === undefined
      ? []
      : [
          `First make a pre-mix of ${preMix.pieces[0]} : ${preMix.pieces[1]} pieces of the first and the last.`,
          '',
        ]),
    ...pairs(rows, steps).map(([row, { shown }]) => `  ${swatch(screen, shown)}${row}`),
    '',
    ...(equalParts === undefined
      ? []
      : [
          `The largest step is ${unevenness.toFixed(2)} times the mean one; with equal parts ${equalParts.toFixed(2)} times.`,
        ]),
    ...(evenWith === undefined
      ? []
      : [`With up to ${evenWith} pieces in a step it would be even: --parts ${evenWith}.`]),
    ...(evenThrough === undefined
      ? []
      : [
          `With a pre-mix of ${evenThrough[0]} : ${evenThrough[1]} pieces it would be even as well: --pre-mix.`,
        ]),
    '',
    `For a sheet that fades evenly, cut a square slab of ${sheet.sideMm} mm straight from point to point. The first mix reaches`,
    ...sheet.cut.map(({ acrossMm, firstMm }) => `  ${firstMm} mm at ${acrossMm} mm across`),
    'and the last has the rest.',
    'Fold it along its length and roll it, always the same way, until no stripe is left.',
    `Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees.`,
  ];
  return `${lines.join('\n')}\n`;
}

/** "3 : 9" of the first and the last, or "3 pre-mix + 9 last". */
export function piecesText({ pieces, ofPreMix }: LadderStep): string {
  if (ofPreMix === 0) return `${pieces[0]} : ${pieces[1]}`;
  const other = pieces[0] + pieces[1];
  return other === 0
    ? 'pre-mix'
    : `${ofPreMix} pre-mix + ${other} ${pieces[0] > 0 ? 'first' : 'last'}`;
}

export function ladderJson({ steps, ends: _, preMix, ...rest }: LadderAnswer): string {
  return JSON.stringify({
    steps: steps.map(({ pieces, ofPreMix, parts, lab, covariance }) => ({
      pieces,
      ofPreMix,
      parts: partsOf(parts),
      lab,
      cov: covarianceRows(covariance),
    })),
    ...(preMix === undefined ? {} : { preMix: { ...preMix, parts: partsOf(preMix.parts) } }),
    ...rest,
  });
}
