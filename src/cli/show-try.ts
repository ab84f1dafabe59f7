import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { sentenceStart } from '../core/sentence-start.ts';
import { isDoubtful } from '../verbs/tried-doubt.ts';
import type { Ball, TryAnswer, TryQuestion } from '../verbs/try.ts';
import {
  columns,
  counted,
  isShown,
  labText,
  NOT_SHOWN,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  swatch,
} from './terminal-output.ts';

const LETTERS = ['A', 'B', 'C'];

export function triedText(
  tried: TryAnswer,
  question: TryQuestion,
  screen: Screen,
  file: string | undefined,
): string {
  const { aim } = tried;
  const house = labUnder(aim.lab, question.viewing, { light: 'D50', observer: 2 });
  const { best, balls, heard, keep, waiting, chosen } = tried;
  const lines = [
    `Which of these test balls is closest to ${plain(aim.words)}?`,
    '',
    `  ${swatch(screen, house)}${colourName(house).name}, ${labText(aim.lab)}, taken as ± ${question.aimSpread} an axis`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    '',
  ];
  if (chosen !== undefined) {
    lines.push(
      `  There are too many clays to look at all their mixes. Chosen for this aim: ${chosen.map(plain).join(', ')}. Name others with --only.`,
      '',
    );
  }
  if (keep) lines.push(...keepLines(tried), '');
  if (balls.length > 0) {
    lines.push(
      `  ${invitation(waiting, keep)} Lay them beside the original in daylight.`,
      '',
      ...ballLines(balls, house, screen),
      '',
    );
    if (!keep) lines.push(`  Best so far: ${piecesOf(best)}, ${nearness(best)}`, '');
    lines.push(...rowLines(balls, heard, file), '');
  }
  lines.push(
    `${counted(heard, 'verdict')} weighed. Distances in dE00 under ${question.viewing.light}, ${question.viewing.observer} degrees.`,
  );
  if (!isShown(house) || balls.some(({ shown }) => !isShown(shown))) lines.push(NOT_SHOWN_NOTE);
  return `${lines.join('\n')}\n`;
}

function invitation(waiting: boolean, keep: boolean): string {
  if (waiting) return 'These wait for your eye.';
  return keep ? 'To be surer still, roll these three.' : 'Roll these three.';
}

/** The user's eye overrides the prediction; a large difference between the two calls for a second look. */
function keepLines(answer: TryAnswer): string[] {
  const { best, same } = answer;
  if (!same) return [`  Keep ${piecesOf(best)}`, `  ${sentenceStart(nearness(best))}.`];
  return [
    `  Keep ${piecesOf(best)}: your eye called it the same.`,
    ...(isDoubtful(answer)
      ? [
          `  By the aim and all the rest it would lie ${best.expected.toFixed(1)} off; look once more in other light.`,
        ]
      : []),
  ];
}

function nearness(best: TryAnswer['best']): string {
  return `expected ${best.expected.toFixed(1)} off; the chance of a match is ${percent(best.chance)}`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} in 100`;
}

function ballLines(balls: readonly Ball[], aim: Lab, screen: Screen): string[] {
  const rows = columns(
    pairs(LETTERS, balls).map(([letter, ball]) => [
      letter,
      piecesOf(ball),
      `${labText(ball.lab)}${isShown(ball.shown) ? '' : ` ${NOT_SHOWN}`}`,
    ]),
    'lll',
  );
  return pairs(rows, balls).map(([row, { shown }]) => `  ${swatch(screen, aim, shown)}${row}`);
}

/** The row to write down, ready to be copied; a file with rows says its own name. */
function rowLines(balls: readonly Ball[], heard: number, file: string | undefined): string[] {
  const cells = LETTERS.map((_, i) => (balls[i] === undefined ? '' : quoted(piecesOf(balls[i]))));
  return [
    `  Then write into ${plain(file ?? 'a file, say verdicts.csv')}: which is closest (A, B, C or none) and how it looks`,
    '  beside the original (lighter, darker, brighter, duller, redder, greener, yellower, bluer; or same).',
    '',
    ...(file !== undefined ? [] : ['    trial,A,B,C,nearest,how']),
    `    ${heard + 1},${cells.join(',')},,`,
  ];
}

function quoted(cell: string): string {
  return /[",;]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}

function piecesOf({ parts }: Pick<Ball, 'parts'>): string {
  return plain(formatRecipe(parts));
}

export function triedJson(tried: TryAnswer): string {
  const { aim, heard, waiting, keep, same, balls, best, chosen } = tried;
  const counts = ({ parts }: Ball) =>
    Object.fromEntries(parts.map((term) => [term.clay, term.parts]));
  const { lab, expected, plusMinus, chance } = best;
  return JSON.stringify({
    aim: aim.lab,
    heard,
    waiting,
    keep,
    same,
    balls: balls.map((ball) => ({ parts: counts(ball), lab: ball.lab })),
    best: { parts: counts(best), lab, expected, plusMinus, chance },
    ...(chosen === undefined ? {} : { chosen }),
  });
}
