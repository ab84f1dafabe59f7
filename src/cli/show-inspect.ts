import { pairs } from '../core/numeric/pairs.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import type { InspectAnswer } from '../verbs/inspect.ts';
import { errorLines, kindOfClay } from './show-errors.ts';
import { explanationLines } from './show-explanations.ts';
import {
  columns,
  counted,
  fixed,
  isShown,
  NOT_SHOWN,
  NOT_SHOWN_NOTE,
  plain,
  type Screen,
  swatch,
} from './terminal-output.ts';

export function inspectedText(
  inspected: InspectAnswer,
  file: ClayFile,
  title: string,
  screen: Screen,
): string {
  const { viewing, report } = inspected;
  const lines = [
    `What does ${plain(title)} know?`,
    '',
    `  ${counted(file.clays.length, 'clay')} from ${counted(file.readings.hashes.length, 'reading')} in ${counted(file.readings.files.length, 'file')}; parts by ${file.basis}; gloss ${typeof file.geometry === 'number' ? 'not known' : file.geometry}.`,
    `  Colours under ${viewing.light} and ${viewing.observer} degrees. Learned by ${plain(file.madeWith)}.`,
    '',
    ...clayLines(inspected, screen),
    '',
    ...groupLines(inspected),
    '',
    'How well do the tiles predict each other?',
    '',
    ...leaveOneOutLines(inspected),
    '',
    ...plainLines(report),
    'Which tiles contradict the others?',
    '',
    ...(report.outlying.length === 0
      ? ['  None.']
      : report.outlying.map(({ sentence }) => `  ${plain(sentence)}`)),
    ...explanationLines(inspected.explanations),
    ...(report.drifts.length === 0 ? [] : ['', 'Which clays changed?', '']),
    ...report.drifts.map(({ sentence }) => `  ${plain(sentence)}`),
  ];
  const [least] = inspected.clays.toSorted((one, other) => other.plusMinus - one.plusMinus);
  if (least !== undefined) {
    lines.push('', 'What would help most?', '', `  ${plain(least.name)}: ${least.advice}`);
  }
  if (inspected.clays.some(({ shown }) => !isShown(shown))) lines.push('', NOT_SHOWN_NOTE);
  return `${lines.join('\n')}\n`;
}

/** Clays whose plain tile is predicted further off than its reading may be, and why. */
function plainLines({ clays }: InspectAnswer['report']): string[] {
  const doubted = clays.flatMap(({ plain: own }) => own?.why ?? []);
  if (doubted.length === 0) return [];
  const lines = doubted.map((why) => `  ${plain(why)}`);
  return ['Which clays are not predicted as they were read?', '', ...lines, ''];
}

function clayLines({ clays }: InspectAnswer, screen: Screen): string[] {
  const colour = ['colour', 'Munsell', 'L', 'a', 'b', '±'];
  const head = ['clay', ...colour, 'kind', 'known from', 'tiles', 'own', 'mixes ±'];
  const rows = clays.map((p) => [
    plain(p.name),
    `${p.colourName}${isShown(p.shown) ? '' : ` ${NOT_SHOWN}`}`,
    `${p.munsellHeld ? '' : 'about '}${p.munsell}`,
    ...p.lab.map((v) => fixed(v, 1)),
    fixed(p.plusMinus, 1),
    kindOfClay(p),
    p.knownFrom,
    String(p.tiles),
    String(p.ownTiles),
    fixed(p.expectedDE, 1),
  ]);
  const blank = screen.colour ? ' '.repeat(8) : '';
  const swatches = [blank, ...clays.map(({ shown }) => swatch(screen, shown))];
  const lines = columns([head, ...rows], 'lllrrrrllrrr');
  return pairs(swatches, lines).map((row) => `  ${row.join('')}`);
}

function groupLines({ report }: InspectAnswer): string[] {
  const { groups } = report;
  const unit = ({ reference, white }: (typeof groups)[number]) =>
    white
      ? `they are compared with the white ${plain(reference)}`
      : `no white is among them, so they are compared with ${plain(reference)}`;
  const [first, ...more] = groups;
  if (first !== undefined && more.length === 0) {
    return [`  Tiles join all clays; ${unit(first)}.`];
  }
  return [
    `  The clays fall into ${groups.length} groups that no tile joins:`,
    ...groups.map((g) => `    ${g.clays.map(plain).join(', ')}; ${unit(g)}`),
    '  Mixes across groups are less sure. One tile that holds a clay of each joins two groups.',
  ];
}

function leaveOneOutLines({ report }: InspectAnswer): string[] {
  const rows = [...report.leaveOneOut]
    .sort((one, other) => other.dE00 - one.dE00)
    .map(({ tile, kind, dE00, expected, lab, read }) => [
      `  ${plain(tile)}${kind === 'measured' ? '' : ` (${kind})`}`,
      fixed(dE00, 1),
      `± ${fixed(expected, 1)}`,
      ...[...lab, ...read].map((v) => fixed(v, 1)),
    ]);
  const head = ['  tile', 'off', 'expected', 'L', 'a', 'b', 'read L', 'a', 'b'];
  return [...errorLines(report), '', ...columns([head, ...rows], 'lrrrrrrrr')];
}

export function inspectedJson({
  madeWith,
  basis,
  geometry,
  viewing,
  means,
  clays,
  report,
  explanations,
}: InspectAnswer): string {
  const { groups, ...rest } = report;
  return JSON.stringify({
    madeWith,
    basis,
    geometry,
    light: viewing.light,
    observer: viewing.observer,
    means,
    clays: clays.map(({ shown: _shown, ...clay }) => clay),
    groups,
    report: rest,
    ...(explanations === undefined ? {} : { explanations }),
  });
}
