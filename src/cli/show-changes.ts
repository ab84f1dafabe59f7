import type { ChangesFound, MovedRecipe } from '../verbs/changes-since.ts';
import { columns, counted, fixed, plain } from './terminal-output.ts';

/** More are in the answer as JSON. */
const SHOWN = 12;

export function changesLines(changes: ChangesFound): string[] {
  const { since, added, gone, moved, surprising, contradicting } = changes;
  const { surer, lessSure, awayFromTile } = changes;
  const lines = [`What changed since ${plain(since)}?`, ''];
  if (added.length > 0) lines.push(`  New: ${added.map(plain).join(', ')}.`);
  if (gone.length > 0) lines.push(`  No longer there: ${gone.map(plain).join(', ')}.`);
  if (moved.length === 0) {
    lines.push('  No clay is in both, so no mix can be compared.');
  } else {
    const mean = moved.reduce((sum, { dE00 }) => sum + dE00, 0) / moved.length;
    const most = Math.max(...moved.map(({ dE00 }) => dE00));
    lines.push(
      `  ${counted(moved.length, 'mix', 'mixes')} predicted by both: ${fixed(mean, 1)} dE00 apart on average, ${fixed(most, 1)} at most.`,
      surprising.length === 0
        ? '  None moved further than its ± of then allows.'
        : `  ${counted(surprising.length, 'mix', 'mixes')} moved further than the ± of then allows:`,
    );
  }
  if (surprising.length > 0) {
    const head = ['    mix', 'moved', 'from L', 'a', 'b', 'to L', 'a', 'b'];
    const rows = surprising.slice(0, SHOWN).map(rowOf);
    lines.push('', ...columns([head, ...rows], 'lrrrrrrr'));
    if (surprising.length > SHOWN) lines.push(`    and ${surprising.length - SHOWN} more`);
    lines.push(
      '',
      '  Either the older readings of these clays were off, or a new one is: look at both.',
    );
  }
  lines.push(...sureLines('Surer now', surer), ...sureLines('Less sure now', lessSure));
  if (awayFromTile.length > 0) {
    lines.push('  Predictions that moved away from their own tile, dE00 from its reading:');
    const rows = awayFromTile
      .slice(0, SHOWN)
      .map(({ tile, before, after }) => [
        `    ${plain(tile)}`,
        fixed(before, 1),
        'to',
        fixed(after, 1),
      ]);
    lines.push(...columns(rows, 'lrlr'));
    if (awayFromTile.length > SHOWN) lines.push(`    and ${awayFromTile.length - SHOWN} more`);
  }
  if (contradicting.length > 0) {
    const names = [...new Set(contradicting.map(({ tile }) => plain(tile)))].join(', ');
    lines.push(`  These disagree with the other tiles, and did not before: ${names}.`);
  }
  return lines;
}

/** "Surer now: 1 Kelp + 3 Foam (± 4.1 to 1.2), 1 Kelp (± 2.0 to 1.0) and 3 more." */
function sureLines(title: string, mixes: readonly MovedRecipe[]): string[] {
  if (mixes.length === 0) return [];
  const some = mixes
    .slice(0, 4)
    .map(
      ({ of, plusMinus: { before, after } }) =>
        `${plain(of)} (± ${fixed(before, 1)} to ${fixed(after, 1)})`,
    );
  const more = mixes.length > some.length ? ` and ${mixes.length - some.length} more` : '';
  return [`  ${title}: ${some.join(', ')}${more}.`];
}

function rowOf({ of, dE00, before, after }: MovedRecipe): string[] {
  return [`    ${plain(of)}`, fixed(dE00, 1), ...[...before, ...after].map((v) => fixed(v, 1))];
}
