import type { LearnAnswer } from '../verbs/learn.ts';
import { THE_BOOK } from './ask-clay.ts';
import { beforePath } from './model-before.ts';
import { changesLines } from './show-changes.ts';
import { errorLines, kindOfClay } from './show-errors.ts';
import { explanationLines } from './show-explanations.ts';
import { columns, counted, fixed, plain } from './terminal-output.ts';

/** Rows skipped for the same reason are listed together, by line. */
function asideLines({ leftAside }: LearnAnswer): string[] {
  const groups = new Map<string, Map<string, number[]>>();
  for (const { why, file, line } of leftAside) {
    const files = groups.get(why) ?? new Map<string, number[]>();
    files.set(file, [...(files.get(file) ?? []), line]);
    groups.set(why, files);
  }
  return [...groups].flatMap(([why, files]) => [
    `  ${counted([...files.values()].flat().length, 'reading')} ${why}`,
    ...[...files].map(([file, lines]) => `    ${plain(file)}, ${lineList(lines)}`),
  ]);
}

function lineList(lines: readonly number[]): string {
  const first = [...lines]
    .sort((one, other) => one - other)
    .slice(0, 8)
    .join(', ');
  const more = lines.length > 8 ? ` and ${lines.length - 8} more` : '';
  return `${lines.length === 1 ? 'line' : 'lines'} ${first}${more}`;
}

/** Where a clay model went. */
export interface Saved {
  readonly out: string;
  /** Nothing was written. */
  readonly check: boolean;
  /** A model was there before. */
  readonly replaced: boolean;
}

function placeInWords({ out, check }: Saved): string {
  if (check) return 'Nothing is saved: this only says what would change.';
  return `Saved in ${out === THE_BOOK ? 'the mix book' : plain(out)}.`;
}

/** How to go back to the model before. */
function wayBack({ out, check, replaced }: Saved): string[] {
  if (check || !replaced) return [];
  return out === THE_BOOK
    ? ['', '  The model before is still in the book. "kneadwell undo" goes back to it.']
    : [
        '',
        `  The model before is saved as ${plain(beforePath(out))}. "kneadwell learn --use-before --out ${plain(out)}" goes back to it.`,
      ];
}

export function learnedText(learned: LearnAnswer, saved: Saved): string {
  const { file, notes } = learned;
  const { report } = file;
  const tiles = new Set(report.leaveOneOut.map(({ tile }) => tile)).size;
  const lines = [
    'How do these clays mix?',
    '',
    `  ${counted(file.clays.length, 'clay')} learned from ${counted(file.readings.hashes.length, 'reading')} of ${counted(tiles, 'tile')}, parts by ${file.basis}. ${placeInWords(saved)}`,
    ...errorLines(report),
    '',
    ...columns(
      [
        ['  clay', 'kind', 'known from', 'tiles', 'mixes come out within'],
        ...report.clays.map((p) => [
          `  ${plain(p.name)}`,
          kindOfClay(p),
          p.knownFrom,
          String(p.tiles),
          `± ${fixed(p.expectedDE, 1)}`,
        ]),
      ],
      'lllrl',
    ),
  ];
  if (learned.changes !== undefined) lines.push('', ...changesLines(learned.changes));
  lines.push(...explanationLines(file.explanations));
  lines.push(...wayBack(saved));
  const doubted = report.clays.flatMap(({ plain: own }) => own?.why ?? []);
  if (doubted.length > 0) {
    lines.push('', 'Which clays are not predicted as they were read?', '');
    lines.push(...doubted.map((why) => `  ${plain(why)}`));
  }
  if (report.outlying.length > 0) {
    lines.push('', 'Which tiles contradict the others?', '');
    lines.push(...report.outlying.map(({ sentence }) => `  ${plain(sentence)}`));
  }
  if (report.drifts.length > 0) {
    lines.push('', 'Which clays changed?', '');
    lines.push(...report.drifts.map(({ sentence }) => `  ${plain(sentence)}`));
  }
  if (learned.leftAside.length > 0)
    lines.push('', 'What was left aside?', '', ...asideLines(learned));
  if (notes.length > 0) lines.push('', ...notes.map((note) => `  ${plain(note)}`));
  return `${lines.join('\n')}\n`;
}

export function learnedJson(learned: LearnAnswer, { out, check }: Saved): string {
  const { file, leftAside, notes, changes } = learned;
  const { report } = file;
  return JSON.stringify({
    ...(check ? {} : { out }),
    basis: file.basis,
    readings: file.readings.hashes.length,
    tiles: new Set(report.leaveOneOut.map(({ tile }) => tile)).size,
    clays: file.clays.map(({ name }) => name),
    leftAside,
    notes,
    report,
    ...(file.explanations === undefined ? {} : { explanations: file.explanations }),
    ...(changes === undefined ? {} : { changes }),
  });
}
