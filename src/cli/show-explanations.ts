import type { OpenExplanation } from '../core/find/known-clays.ts';
import { openExplanation } from '../domain/explanation.ts';
import { plain } from './terminal-output.ts';

/** What may be wrong with the tiles, the likeliest first, each with its chance; nothing where all is clear. */
export function explanationLines(explanations: readonly OpenExplanation[] = []): string[] {
  if (explanations.length === 0) return [];
  return [
    '',
    'Which tiles may be wrong?',
    '',
    ...explanations.map(
      ({ sentence, probability }) => `  ${chanceOf(probability)}: ${plain(sentence)}`,
    ),
    '  Correct the row and learn again. If the row is right as it is, write yes in its column checked.',
  ];
}

/** One line under an answer of a model whose tiles are not settled. */
export function openExplanationLines(explanations?: readonly OpenExplanation[]): string[] {
  const sentence = openExplanation(explanations);
  return sentence === undefined ? [] : [plain(sentence)];
}

function chanceOf(probability: number): string {
  const percent = Math.round(100 * probability);
  return percent >= 100 ? 'almost sure' : percent <= 1 ? 'hardly' : `${percent} in 100`;
}
