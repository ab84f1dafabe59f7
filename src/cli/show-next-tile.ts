import type { Viewing } from '../core/colour/adaptation.ts';
import type { NextTileAnswer } from '../verbs/next-tile.ts';
import { openExplanationLines } from './show-explanations.ts';
import { plain } from './terminal-output.ts';

/** The question, the tiles with their reasons, and what to do with them. */
export function nextTileText(
  { tiles, expected, of, how, lookAt, explanations }: NextTileAnswer,
  viewing: Viewing,
): string {
  const mixes = of === 'all' ? 'Mixes of two or three clays' : 'These mixes';
  const lines = [
    tiles.length === 1 ? 'Which tile should I bake next?' : 'Which tiles should I bake next?',
    '',
    `  ${mixes} come out within ± ${expected.toFixed(1)} as things stand.`,
    '',
  ];
  if (lookAt.length > 0) {
    lines.push(
      `  First: ${lookAt.map(({ sentence }) => plain(sentence)).join(' ')}`,
      ...openExplanationLines(explanations).map((line) => `  ${line}`),
      '',
    );
  }
  if (tiles.length === 0) {
    lines.push('  No single tile would make them noticeably surer. Bake what you like.');
  } else {
    const width = String(tiles.length).length;
    lines.push(
      ...tiles.map(({ sentence }, i) => `  ${String(i + 1).padStart(width)}  ${plain(sentence)}`),
      '',
      tiles.length === 1
        ? `${how} Then add its row to your readings and learn again.`
        : `Each counts on those above it. For each: ${lowerFirst(how)} Then add the rows to your readings and learn again.`,
    );
  }
  lines.push(`Mean ± in dE00 under ${viewing.light}, ${viewing.observer} degrees.`);
  return `${lines.join('\n')}\n`;
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

export function nextTileJson({
  tiles,
  expected,
  of,
  how,
  lookAt,
  explanations,
}: NextTileAnswer): string {
  return JSON.stringify({
    of,
    expected,
    how,
    tiles: tiles.map(({ parts, ...tile }) => ({
      parts: Object.fromEntries(parts.map((term) => [term.clay, term.parts])),
      ...tile,
    })),
    lookAt,
    ...(explanations === undefined ? {} : { explanations }),
  });
}
