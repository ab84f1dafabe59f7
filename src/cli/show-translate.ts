import { formatRecipe } from '../core/notation/notation.ts';
import type { TranslateAnswer, TranslateQuestion } from '../verbs/translate.ts';
import { partsOf } from './show-gap-report.ts';
import { counted, plain, type Screen, swatch } from './terminal-output.ts';

/** Each recipe with its counterpart of other clays, and what is lost. */
export function translateText(
  { translated }: TranslateAnswer,
  { viewing }: TranslateQuestion,
  screen: Screen,
): string {
  const lines = ['How do I mix the same with other clays?', ''];
  for (const { of, why, found } of translated) {
    if (found === undefined) {
      lines.push(`  ${plain(of)}`, `    no recipe: ${plain(why ?? '')}`);
      continue;
    }
    const { wantedShown, shown, recipe, dE00, plusMinus, chance, verdict, hint } = found;
    lines.push(
      `  ${swatch(screen, wantedShown, shown)}${plain(of)}`,
      `    ${plain(formatRecipe(recipe))}: ${dE00.toFixed(1)} ± ${plusMinus.toFixed(1)} off, ${Math.round(100 * chance)} in 100; ${plain(verdict.sentence)}`,
      ...(hint === undefined
        ? []
        : [`    if it looks ${hint.looks}: knead in a crumb of ${plain(hint.add)}`]),
    );
  }
  lines.push(
    '',
    `${counted(translated.length, 'recipe')} translated. Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees.`,
  );
  return `${lines.join('\n')}\n`;
}

export function translateJson({ translated }: TranslateAnswer): string {
  return JSON.stringify({
    translated: translated.map(({ of, why, found }) => {
      if (found === undefined) return { of, why };
      const { recipe, wanted, lab, dE00, plusMinus, chance, verdict, hint } = found;
      return {
        of,
        parts: partsOf(recipe),
        wanted,
        lab,
        dE00,
        plusMinus,
        expected: Math.hypot(dE00, plusMinus),
        chance,
        verdict: verdict.sentence,
        hint: hint ?? null,
      };
    }),
  });
}
