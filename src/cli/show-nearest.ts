import { labUnder } from '../core/colour/adaptation.ts';
import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import { sideInWords, sidesOf } from '../core/verdict/verdict.ts';
import type { ClosestTile, NearestAnswer, NearestQuestion } from '../verbs/nearest.ts';
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

export function nearestText(neared: NearestAnswer, call: NearestQuestion, screen: Screen): string {
  const { aim } = neared;
  const house = labUnder(aim.lab, call.viewing, { light: 'D50', observer: 2 });
  const { tiles, beyond, compared, raw } = neared;
  const lines = [
    `Which of your tiles is closest to ${plain(aim.words)}?`,
    '',
    `  ${swatch(screen, house)}${colourName(house).name}, ${labText(aim.lab)}${isShown(house) ? '' : ` ${NOT_SHOWN}`}`,
    ...aim.notes.map((note) => `  ${plain(note)}`),
    '',
  ];
  if (beyond !== undefined) lines.push(...beyondLines(beyond, aim.lab, call), '');
  const listed = beyond === undefined ? tiles : [beyond];
  if (listed.length === 0) {
    lines.push('  None of these readings is of a baked tile, so there is none to compare.', '');
  } else lines.push(...tileLines(listed, house, screen), '');
  const { light, observer } = call.viewing;
  lines.push(
    `${counted(compared, 'tile')} compared. Distances and ± in dE00 under ${light}, ${observer} degrees.`,
  );
  if (raw > 0) {
    lines.push(`${counted(raw, 'raw reading')} left out: baking changes the colour.`);
  }
  lines.push(...neared.notes.map(plain));
  if (!isShown(house) || listed.some(({ shown }) => !isShown(shown))) lines.push(NOT_SHOWN_NOTE);
  return `${lines.join('\n')}\n`;
}

/** Words first, then which tile and what is in it, then the numbers. */
function tileLines(tiles: readonly ClosestTile[], aim: Lab, screen: Screen): string[] {
  const rows = columns(
    tiles.map((near, i) => [
      String(i + 1),
      near.verdict.sentence,
      plain(near.tile),
      plain(formatRecipe(near.of)),
      `${near.dE00.toFixed(1)} ± ${near.plusMinus.toFixed(1)}${isShown(near.shown) ? '' : ` ${NOT_SHOWN}`}`,
    ]),
    'rllll',
  );
  return pairs(rows, tiles).map(([row, { shown }]) => `  ${swatch(screen, aim, shown)}${row}`);
}

function beyondLines(beyond: ClosestTile, aim: Lab, { within = 0 }: NearestQuestion): string[] {
  const said = sidesOf(aim, beyond.lab)
    .filter(({ size }) => size >= 0.8)
    .map(sideInWords);
  const how = said.length === 0 ? '' : `: ${said.join(', ')} than the aim`;
  const enough = Math.ceil(beyond.dE00 * 10 + 1e-9) / 10;
  return [
    `  No tile lies within ${within}. The closest is ${beyond.dE00.toFixed(1)} off${how}.`,
    `  --within ${enough} would show it; a recipe may come nearer: see "kneadwell find --help".`,
  ];
}

export function nearestJson({ aim, tiles, beyond, compared, raw, notes }: NearestAnswer): string {
  const tileJson = ({ tile, of, lab, dE00, plusMinus, verdict, readings, place }: ClosestTile) => ({
    tile,
    of: formatRecipe(of),
    verdict: verdict.word,
    dE00,
    plusMinus,
    lab,
    readings,
    file: place.file,
    line: place.line,
  });
  return JSON.stringify({
    aim: aim.lab,
    tiles: tiles.map(tileJson),
    ...(beyond === undefined ? {} : { beyond: tileJson(beyond) }),
    compared,
    raw,
    notes,
  });
}
