import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import { formatRecipe, type Recipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type { Addition, MendAnswer, MendQuestion } from '../verbs/mend.ts';
import { partsOf } from './show-gap-report.ts';
import { covarianceRows } from './show-predict.ts';
import { columns, labText, plain, type Screen, swatch } from './terminal-output.ts';

/** What to add to a lump, the recommended addition first. */
export function mendText(answer: MendAnswer, { viewing }: MendQuestion, screen: Screen): string {
  const { aim, lump, note, additions, recommended, leave, afresh, doubt } = answer;
  const house = labUnder(aim.lab, viewing, { light: 'D50', observer: 2 });
  const lines = [
    `What do I add to ${plain(formatRecipe(lump.recipe))}?`,
    '',
    `  ${swatch(screen, house)}wanted: ${colourName(house).name}, ${labText(aim.lab)}`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    `  ${swatch(screen, lump.shown)}the lump: about ${lump.expected.toFixed(1)} off, ${percent(lump.chance)} a match`,
    ...(note === undefined ? [] : [`  ${note}`]),
    '',
  ];
  if (doubt !== undefined) lines.push(`  ${plain(doubt.sentence)}`, '');
  if (leave !== undefined) lines.push(`  Leave the lump unchanged. ${leave.why}`, '');
  if (afresh !== undefined) {
    lines.push(
      `  Start afresh: ${plain(formatRecipe(afresh.recipe))}, ${percent(afresh.chance)} a match.`,
      `  ${afresh.why}`,
      '',
    );
  }
  if (additions.length > 0 && afresh === undefined) {
    const rows = columns(
      additions.map((one, i) => [
        i === recommended && leave === undefined ? '>' : '',
        `add ${plain(formatRecipe(one.add))}`,
        `about ${one.expected.toFixed(1)} off`,
        `${percent(one.chance)} a match`,
        `${one.growth.toFixed(2)} times as large`,
        `then ${plain(formatRecipe(one.recipe))}`,
      ]),
      'llrrrl',
    );
    lines.push(
      ...pairs(rows, additions).map(
        ([row, { shown }]) => `  ${swatch(screen, house, shown)}${row}`,
      ),
      '',
    );
  }
  lines.push(
    `Distances in dE00 under ${viewing.light}, ${viewing.observer} degrees. Mix all of the lump well, and bake a chip before you go on.`,
  );
  return `${lines.join('\n')}\n`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} in 100`;
}

export function mendJson({
  aim,
  lump,
  note,
  additions,
  recommended = null,
  leave = null,
  afresh,
  doubt,
}: Omit<MendAnswer, 'recommended' | 'leave'> & {
  readonly recommended?: number | null;
  readonly leave?: MendAnswer['leave'] | null;
}): string {
  const seen = ({ lab, covariance, expected, chance }: Addition | MendAnswer['lump']) => ({
    lab,
    cov: covarianceRows(covariance),
    dE00: expected,
    chance,
  });
  const whole = (recipe: Recipe) => partsOf(recipe);
  return JSON.stringify({
    aim: aim.lab,
    lump: { recipe: whole(lump.recipe), ...seen(lump) },
    recommended,
    additions: additions.map((one) => ({
      add: whole(one.add),
      recipe: whole(one.recipe),
      ...seen(one),
      growth: one.growth,
      better: one.better,
    })),
    leave,
    afresh:
      afresh === undefined
        ? null
        : { recipe: whole(afresh.recipe), ...seen(afresh), why: afresh.why },
    ...(note === undefined ? {} : { note }),
    ...(doubt === undefined ? {} : { doubt: { ...doubt, recipe: whole(doubt.recipe) } }),
  });
}
