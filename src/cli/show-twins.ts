import { formatRecipe } from '../core/notation/notation.ts';
import { verdictWord } from '../core/verdict/verdict.ts';
import { verdictHead } from '../core/verdict/verdict-in-words.ts';
import type { Twin, TwinsAnswer, TwinsQuestion } from '../verbs/twins.ts';
import { partsOf } from './show-gap-report.ts';
import { covarianceRows } from './show-predict.ts';
import { plain, type Screen, swatch } from './terminal-output.ts';

/** Each clay with its twin of another line, and the pinch that turns that one into it. */
export function twinsText(
  { twins }: TwinsAnswer,
  { viewing }: TwinsQuestion,
  screen: Screen,
): string {
  const lines = ['Which clay of another line is closest to mine?', ''];
  if (twins.length === 0)
    lines.push('  No clay has a twin: all clays are of one line, or of none.');
  for (const { clay, shown, twin, pinch } of twins) {
    lines.push(
      `  ${swatch(screen, shown, twin.shown)}${plain(clay)}: ${twin.recipe.map(({ clay }) => plain(clay)).join()}, ${saidOf(twin)}`,
    );
    if (pinch !== null) {
      lines.push(
        `    ${swatch(screen, shown, pinch.shown)}${plain(formatRecipe(pinch.recipe))}: ${saidOf(pinch)}`,
      );
    }
  }
  lines.push('', `Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees.`);
  return `${lines.join('\n')}\n`;
}

function saidOf({ dE00, chance }: Twin['twin']): string {
  return `${verdictHead(verdictWord(dE00)).toLowerCase()}, ${dE00.toFixed(1)} off, ${Math.round(100 * chance)} in 100`;
}

export function twinsJson({ twins }: TwinsAnswer): string {
  const seen = ({ recipe, lab, covariance, dE00, chance }: Twin['twin']) => ({
    parts: partsOf(recipe),
    lab,
    cov: covarianceRows(covariance),
    dE00,
    chance,
  });
  return JSON.stringify({
    twins: twins.map(({ clay, lab, twin, pinch }) => ({
      clay,
      lab,
      twin: seen(twin),
      pinch: pinch === null ? null : seen(pinch),
    })),
  });
}
