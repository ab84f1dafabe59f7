import type { Viewing } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { GRID_START_NM, GRID_STEP_NM } from '../core/colour/grid.ts';
import { type VerdictWord, verdictWord } from '../core/verdict/verdict.ts';
import { percentInWords } from '../domain/powders-in-words.ts';
import type { PredictAnswer } from '../verbs/predict.ts';
import { openExplanationLines } from './show-explanations.ts';
import {
  isShown,
  labText,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  screenCode,
  swatch,
} from './terminal-output.ts';

/** What a ± of that size is good for. */
const SURENESS: Readonly<Record<VerdictWord, string>> = {
  same: 'a tile of it should look the same',
  match: 'a tile of it should match this',
  close: 'a tile of it should come close to this',
  family: 'a tile of it will be of this family',
  different: 'only a guess: bake a tile of it, and learn again',
};

export function predictionText(
  { predicted: all, explanations }: PredictAnswer,
  { light, observer }: Viewing,
  screen: Screen,
): string {
  const lines = all.flatMap((predicted) => {
    const { of, lab, plusMinus, shown, powders = [], notPredicted } = predicted;
    const tile = swatch(screen, shown);
    return [
      `What comes out of ${plain(of)}?`,
      '',
      `  ${tile}${colourName(shown).name}`,
      `  ${tile}${labText(lab)}  ± ${plusMinus.toFixed(1)}: ${SURENESS[verdictWord(plusMinus)]}`,
      `  ${tile}on a screen ${screenCode(shown)}`,
      ...powders.map(
        ({ name, share }) =>
          `  Work in ${percentInWords(share)} ${plain(name)}, by weight of the clay and its powders together.`,
      ),
      ...(notPredicted === undefined ? [] : [`  ${plain(notPredicted)}`]),
      '',
    ];
  });
  lines.push(`L, a, b under ${light} and ${observer} degrees; ± in dE00.`);
  if (all.some(({ shown }) => !isShown(shown))) lines.push(NOT_SHOWN_NOTE);
  lines.push(...openExplanationLines(explanations));
  return `${lines.join('\n')}\n`;
}

/** One line a recipe. */
export function predictionJson(
  { predicted: all, explanations }: PredictAnswer,
  { light, observer }: Viewing,
): string {
  return all
    .map(({ of, lab, covariance: c, spectrum, powders, notPredicted }) =>
      JSON.stringify({
        of,
        lab,
        cov: covarianceRows(c),
        light,
        observer,
        spectrum: { start: GRID_START_NM, step: GRID_STEP_NM, values: spectrum },
        ...(powders === undefined ? {} : { powders, notPredicted }),
        ...(explanations === undefined ? {} : { explanations }),
      }),
    )
    .join('\n');
}

/** A covariance of three, row by row. */
export function covarianceRows(covariance: readonly number[]): number[][] {
  return [0, 3, 6].map((from) => covariance.slice(from, from + 3));
}
