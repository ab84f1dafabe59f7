import { formatRecipe } from '../core/notation/notation.ts';
import { sideInWords, sidesOf } from '../core/verdict/verdict.ts';
import type { Affected, NewLotAnswer, NewLotQuestion } from '../verbs/new-lot.ts';
import { partsOf } from './show-gap-report.ts';
import { counted, plain, type Screen, swatch } from './terminal-output.ts';

/** The clay as it was and is, then every mix that holds it with its new cut, worst first. */
export function newLotText(
  { clay, before, after, note, mixes, unread }: NewLotAnswer,
  { viewing }: NewLotQuestion,
  screen: Screen,
): string {
  const [side] = sidesOf(before.lab, after.lab);
  const stay = mixes.filter(({ stays }) => stays).length;
  const lines = [
    `Which mixes does the new lot of ${plain(clay)} change?`,
    '',
    `  ${swatch(screen, before.shown, after.shown)}${plain(clay)} is ${after.dE00.toFixed(1)} off the old lot${side === undefined ? '' : `, ${sideInWords(side)}`}.`,
    `  ${counted(mixes.length, 'mix', 'mixes')} ${mixes.length === 1 ? 'holds' : 'hold'} it${stay === 0 ? '' : `, and ${stay} of them may stay as ${stay === 1 ? 'it is' : 'they are'}`}.`,
    ...(note === undefined ? [] : [`  ${note}`]),
    '',
  ];
  for (const mix of mixes) {
    const { of, recipe, before, after, cut } = mix;
    const written = formatRecipe(recipe);
    const named = of === written ? '' : `${plain(of)}: `;
    lines.push(
      `  ${swatch(screen, before.shown, after.shown)}${named}${plain(written)}: ${after.dE00.toFixed(1)} off, ${percent(after.chance)} still a match`,
      cut === undefined
        ? `    ${withoutCut(mix)}`
        : `    ${swatch(screen, before.shown, cut.shown)}${plain(formatRecipe(cut.recipe))}: ${cut.dE00.toFixed(1)} off, ${percent(cut.chance)} a match`,
    );
  }
  if (unread.length > 0) {
    lines.push('', ...unread.map(({ of, why }) => `  ${plain(of)}: ${plain(why)}`));
  }
  lines.push('', `Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees.`);
  return `${lines.join('\n')}\n`;
}

function withoutCut({ stays, unsure }: Affected): string {
  if (unsure) return 'One tile of the clay does not tell how: bake a tile of this mix first.';
  return stays ? 'Cut it as before.' : 'No other cut comes closer.';
}

function percent(share: number): string {
  return `${Math.round(100 * share)} in 100`;
}

export function newLotJson({ clay, before, after, note, mixes, unread }: NewLotAnswer): string {
  return JSON.stringify({
    clay,
    before: before.lab,
    after: after.lab,
    dE00: after.dE00,
    plusMinus: after.plusMinus,
    mixes: mixes.map(({ of, recipe, before, after, cut, stays, unsure }) => ({
      of,
      parts: partsOf(recipe),
      before: before.lab,
      after: { lab: after.lab, dE00: after.dE00, plusMinus: after.plusMinus, chance: after.chance },
      cut:
        cut === undefined
          ? null
          : {
              parts: partsOf(cut.recipe),
              lab: cut.lab,
              dE00: cut.dE00,
              plusMinus: cut.plusMinus,
              chance: cut.chance,
              change: cut.change,
              added: cut.added ?? null,
            },
      stays,
      unsure,
    })),
    unread,
    ...(note === undefined ? {} : { note }),
  });
}
