import { pairs } from '../core/numeric/pairs.ts';
import type { FigureAnswer } from '../verbs/figure.ts';
import { type PaintTerms, paintInWords, usesInWords } from '../verbs/figure-in-words.ts';
import { columns, counted, moneyIn, plain, type Screen, swatch } from './terminal-output.ts';

/** The plan of a figure: its shapes, its batches in whole pieces, its blocks and what it costs. */
export function figureText(answer: FigureAnswer, screen: Screen): string {
  const { shapes, batches, blocks, leftOut, notes, grams, copies, piece } = answer;
  const shapeRows = columns(
    shapes.map(({ name, count, shape, colour, grams }) => [
      plain(name.startsWith(`${count} `) ? name : `${count} ${name}`),
      plain(shape),
      plain(colour),
      gramsIn(grams),
    ]),
    'lllr',
  );
  const blockRows = columns(
    blocks.map((block) => [plain(block.clay), gramsIn(block.usedG), usesInWords(block)]),
    'lrl',
  );
  const cut =
    piece === undefined
      ? 'Pieces of each batch are balls of one size:'
      : `Pieces of a ${piece.acrossMm} mm cutter in a ${piece.sheetMm} mm sheet, ${piece.cm3.toFixed(2)} cm3 each:`;
  const lines = [
    `${copies === 1 ? 'One figure' : `${copies} figures`}, ${gramsIn(grams)} of clay in all.`,
    '',
    'Shapes of one figure, with what is lost:',
    ...pairs(shapeRows, shapes).map(
      ([row, { lab }]) => `  ${lab === undefined ? '' : swatch(screen, lab)}${row}`,
    ),
    ...shapes.flatMap(({ name, paint }) =>
      paint === undefined
        ? []
        : paintInWords(paint, paintTerms(answer)).map((line) => `  ${plain(name)}: ${plain(line)}`),
    ),
    ...leftOut.map(({ shape, sentence }) => `  left out: ${plain(shape)}: ${plain(sentence)}`),
    '',
    ...(batches.length === 0 ? [] : [cut]),
    ...batches.flatMap((batch) => {
      const { colour, kind, parts, pieces, ballMm, neededG, makesG, lab, roundingDE00 } = batch;
      const size = piece === undefined ? `, balls of ${ballMm.toFixed(1)} mm` : '';
      const off =
        roundingDE00 === undefined || roundingDE00 < 0.05
          ? ''
          : `, ${roundingDE00.toFixed(1)} dE00 off the recipe`;
      return [
        `  ${lab === undefined ? '' : swatch(screen, lab)}${kind === 'pre-mix' ? 'Pre-mix for ' : ''}${plain(colour)}`,
        `    ${parts.map(({ of, pieces: n }) => `${n} ${plain(of)}`).join(' + ')}`,
        `    ${counted(pieces, 'piece')} make ${gramsIn(makesG)}, ${gramsIn(neededG)} needed${size}${off}`,
      ];
    }),
    ...(batches.length === 0 ? [] : ['']),
    'Blocks:',
    ...pairs(blockRows, blocks).map(
      ([row, { lab }]) => `  ${lab === undefined ? '' : swatch(screen, lab)}${row}`,
    ),
    ...costLines(answer),
    ...notes.map(plain),
  ];
  return `${lines.join('\n')}\n`;
}

/** Of one figure, as its shapes are. */
function paintTerms({ cost: { currency, hourlyMinor } }: FigureAnswer): PaintTerms {
  return { copies: 1, hourlyMinor, money: (minor) => moneyIn(minor, currency) };
}

function costLines({ cost, copies }: FigureAnswer): string[] {
  const { clayMinor, buyMinor, workMinor, eachMinor, currency } = cost;
  const said = (minor: number) => moneyIn(minor, currency);
  const lines = [
    ...(clayMinor === undefined ? [] : [`Clay used: ${said(clayMinor)}.`]),
    ...(buyMinor === undefined || buyMinor === 0 ? [] : [`Packages to buy: ${said(buyMinor)}.`]),
    ...(workMinor === undefined ? [] : [`Work on one: ${said(workMinor)}.`]),
    ...(eachMinor === undefined || (copies === 1 && workMinor === undefined)
      ? []
      : [
          `One figure costs ${said(eachMinor)}${workMinor === undefined ? '' : ', clay and work'}.`,
        ]),
  ];
  return ['', ...lines, ...(lines.length === 0 ? [] : [''])];
}

function gramsIn(grams: number): string {
  return `${grams < 9.95 ? grams.toFixed(1) : Math.round(grams)} g`;
}

export function figureJson(answer: FigureAnswer): string {
  return JSON.stringify(answer);
}
