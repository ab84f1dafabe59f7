import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type { LadderAnswer, LadderQuestion } from '../verbs/ladder.ts';
import { partsOf } from './show-gap-report.ts';
import { covarianceRows } from './show-predict.ts';
import { columns, labText, plain, type Screen, swatch } from './terminal-output.ts';

/** The steps of a ladder, one a line, and the shares of a graduated sheet. */
export function ladderText(
  answer: LadderAnswer,
  { viewing }: LadderQuestion,
  screen: Screen,
): string {
  const { steps, unevenness, equalParts, evenWith, sheet } = answer;
  const rows = columns(
    steps.map(({ pieces, parts, lab, plusMinus }, i) => [
      String(i + 1),
      `${pieces[0]} : ${pieces[1]}`,
      plain(formatRecipe(parts)),
      labText(lab),
      `± ${plusMinus.toFixed(1)}`,
    ]),
    'rllll',
  );
  const lines = [
    equalParts === undefined
      ? 'How does the first mix look with more and more of the last?'
      : 'Which even steps lead from one colour to the other?',
    '',
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
    '',
    `For a sheet that fades evenly, cut a square slab of ${sheet.sideMm} mm straight from point to point. The first mix reaches`,
    ...sheet.cut.map(({ acrossMm, firstMm }) => `  ${firstMm} mm at ${acrossMm} mm across`),
    'and the last has the rest.',
    'Fold it along its length and roll it, always the same way, until no stripe is left.',
    `Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees.`,
  ];
  return `${lines.join('\n')}\n`;
}

export function ladderJson({ steps, ends: _, ...rest }: LadderAnswer): string {
  return JSON.stringify({
    steps: steps.map(({ pieces, parts, lab, covariance }) => ({
      pieces,
      parts: partsOf(parts),
      lab,
      cov: covarianceRows(covariance),
    })),
    ...rest,
  });
}
