import { pairs } from '../core/numeric/pairs.ts';
import type { CompareLinesAnswer, GapFilled, LineCompared } from '../verbs/compare-lines.ts';
import { roughPercent } from './rough-percent.ts';
import { columns, counted, plain, type Screen, swatch } from './terminal-output.ts';

/** Lines hue by hue, and which fills the gaps of which. */
export function compareLinesText(
  { lines, fills, notes }: CompareLinesAnswer,
  screen: Screen,
): string {
  const said = ['How do my lines compare, hue by hue?', ''];
  if (lines.length === 0) said.push('  No clay has a line.');
  for (const line of lines) said.push(...lineLines(line, screen), '');
  for (const { line, by } of fills) {
    if (by.length === 0) continue;
    said.push(`What fills the gaps of ${plain(line)}:`);
    const { share = 0 } = lines.find((own) => own.line === line) ?? {};
    said.push(...by.map((one) => `  ${fillInWords(one, share)}`), '');
  }
  said.push(
    'Chroma is how bright a colour is, 0 for grey. Mixes are of two or three clays.',
    ...notes.map(plain),
  );
  return `${said.join('\n')}\n`;
}

function lineLines({ line, clays, meanChroma, share, hues, gives }: LineCompared, screen: Screen) {
  const shown = hues.filter(({ clays: own, strongest }) => own > 0 || strongest !== undefined);
  const rows = columns(
    [
      ['', 'blocks', 'mean chroma', 'strongest mix'],
      ...shown.map(({ hue, clays: own, meanChroma: mean, strongest }) => [
        hue,
        own === 0 ? '-' : String(own),
        mean === undefined ? '-' : mean.toFixed(0),
        strongest === undefined ? '-' : strongest.chroma.toFixed(0),
      ]),
    ],
    'lrrr',
  );
  const [head = '', ...body] = rows;
  return [
    `${plain(line)}: ${counted(clays, 'flat clay')}, mean chroma ${meanChroma.toFixed(0)}, ${roughPercent(share)} of the range of all clays`,
    `  ${head}`,
    ...pairs(body, shown).map(
      ([row, { strongest }]) =>
        `  ${row}${strongest === undefined ? '' : `  ${swatch(screen, strongest.lab)}`.trimEnd()}`,
    ),
    ...(gives.length === 0 ? [] : [`  gives ${plain(gives.join(', '))}`]),
  ];
}

function fillInWords({ line, to, gives, blocks }: GapFilled['by'][number], share: number): string {
  const wanted = gives.length === 0 ? '' : `, and gives ${plain(gives.join(', '))}`;
  const best =
    blocks.length === 0
      ? ''
      : `; one by one ${blocks.map(({ clay, to: own }) => `${plain(clay)} (${roughPercent(own)})`).join(', ')}`;
  return `with ${plain(line)} ${roughPercent(to)} of the range of all instead of ${roughPercent(share)}${wanted}${best}`;
}
