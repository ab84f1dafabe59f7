import type { MissingColour, WidenAnswer } from '../verbs/widen.ts';
import { roughPercent } from './rough-percent.ts';
import { counted, labText, plain, type Screen, swatch } from './terminal-output.ts';

/** The colours that would widen some clays most, in words. */
export function widenText(
  { clays, unmet, missing, known, notes }: WidenAnswer,
  screen: Screen,
): string {
  const said = [
    `Which colours would widen ${clays === 1 ? 'this clay' : `these ${counted(clays, 'clay')}`} most?`,
    '',
    'Colours that none of your clays has:',
    ...(missing.length === 0
      ? ['  None: your clays make every colour that has a name.']
      : missing.flatMap((one) => colourLines(one.name, one, screen))),
  ];
  if (known.length > 0) {
    said.push('', 'Blocks of other lines:');
    for (const one of known) {
      const title = one.line === undefined ? one.clay : `${one.clay}, ${one.line}`;
      said.push(...colourLines(title, one, screen));
    }
  }
  if (unmet.length > 0) said.push('', `Not yet within reach: ${plain(unmet.join(', '))}.`);
  said.push('', 'How much each adds counts those named before it.', ...notes.map(plain));
  return `${said.join('\n')}\n`;
}

function colourLines(
  title: string,
  { lab, widens, gives, why }: Omit<MissingColour, 'name'>,
  screen: Screen,
): readonly string[] {
  const wanted = gives.length === 0 ? '' : `, gives ${plain(gives.join(', '))}`;
  return [
    `  ${swatch(screen, lab)}${plain(title)}: widens the range by ${roughPercent(widens)}${wanted}`,
    `    ${why} ${labText(lab)}`,
  ];
}
