import { formatRecipe } from '../core/notation/notation.ts';
import type { ChartAnswer, ChartAnswerRow, ChartQuestion } from '../verbs/chart.ts';
import { partsOf } from './show-gap-report.ts';
import { covarianceRows } from './show-predict.ts';
import { columns, counted, labText, plain, type Screen, swatch } from './terminal-output.ts';

/** The cells of a chart, one a line. */
export function chartText(
  { rows }: ChartAnswer,
  { viewing }: ChartQuestion,
  screen: Screen,
): string {
  const cells = rows.flatMap((row) => row.cells.map((cell) => ({ cell, head: headOf(row) })));
  const table = columns(
    cells.map(({ cell: { recipe, lab, plusMinus, read } }) => [
      plain(formatRecipe(recipe)),
      labText(lab),
      `± ${plusMinus.toFixed(1)}`,
      read === null ? 'not read yet' : `read ${labText(read)}`,
    ]),
    'llll',
  );
  const lines = ['Which tiles make a chart of my clays?', ''];
  let last = '';
  cells.forEach(({ cell, head }, i) => {
    if (head !== last) lines.push(`  ${head}`);
    last = head;
    lines.push(`    ${swatch(screen, cell.shown, cell.read ?? cell.shown)}${table[i]}`);
  });
  const read = cells.filter(({ cell }) => cell.read !== null).length;
  lines.push(
    '',
    `${counted(cells.length, 'tile')} in all, ${read} read. Predicted colours under ${viewing.light}, ${viewing.observer} degrees; read ones under D50, 2 degrees.`,
  );
  return `${lines.join('\n')}\n`;
}

function headOf({ kind, of }: ChartAnswerRow): string {
  const [one = '', other] = of.map(plain);
  if (kind === 'grid') return `${one}, half and half`;
  return other === undefined ? one : `${one} with ${other}`;
}

export function chartJson({ rows }: ChartAnswer): string {
  return JSON.stringify({
    rows: rows.map(({ kind, of, cells }) => ({
      kind,
      of,
      cells: cells.map(({ recipe, lab, covariance, read }) => ({
        parts: partsOf(recipe),
        lab,
        cov: covarianceRows(covariance),
        read,
      })),
    })),
  });
}
