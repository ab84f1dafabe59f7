import type { CSSProperties } from 'react';
import type { ChartAnswerRow, ChartCell } from '../../../verbs/chart.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { recipeInWords } from '../../parts/piece-group.ts';

/** A cell that was pressed. */
export type ShownCell = ChartCell;

/** All rows of a chart, those of one clay under its name. */
export function ChartSheet({
  rows,
  onOpen,
}: {
  readonly rows: readonly ChartAnswerRow[];
  readonly onOpen: (cell: ShownCell) => void;
}) {
  useWiderScreen();
  const clays = new Map<string, ChartAnswerRow[]>();
  for (const row of rows) clays.set(row.of[0], [...(clays.get(row.of[0]) ?? []), row]);
  return (
    <div className="bench across chart">
      {[...clays].map(([clay, own]) => (
        <section key={clay} className="chart-clay" aria-label={clay}>
          <h2>{clay}</h2>
          <div className="chart-rows">
            {own.map((row) => (
              <div key={row.of.join()} className="chart-row">
                <span className="small chart-with">{withInWords(row)}</span>
                <div className="chart-cells">
                  {row.cells.map((cell) => (
                    <Cell
                      key={recipeInWords(cell.recipe)}
                      cell={cell}
                      words={ratioInWords(row, cell)}
                      onOpen={onOpen}
                    />
                  ))}
                </div>
              </div>
            ))}
          </div>
        </section>
      ))}
    </div>
  );
}

function Cell({
  cell,
  words,
  onOpen,
}: {
  readonly cell: ChartCell;
  readonly words: string;
  readonly onOpen: (cell: ShownCell) => void;
}) {
  const { recipe, shown, read } = cell;
  const colour = screenColour(read ?? shown).css;
  return (
    <button
      type="button"
      className="chart-cell"
      aria-label={`${words}, ${recipeInWords(recipe)}, ${read === null ? 'predicted' : 'read'}: ${spokenColour(read ?? shown)}`}
      onClick={() => onOpen(cell)}
    >
      <span
        className="chart-colour"
        data-read={read !== null}
        style={{ '--colour': colour } as CSSProperties}
      />
      <span className="small chart-ratio">{words}</span>
    </button>
  );
}

function withInWords({ kind, of }: ChartAnswerRow): string {
  if (kind === 'grid') return 'half and half';
  return of[1] === undefined ? 'alone' : `with ${of[1]}`;
}

/** "3 : 1", the clay of the row first; in a grid the other clay. */
function ratioInWords({ kind, of }: ChartAnswerRow, { recipe }: ChartCell): string {
  if (kind === 'grid') {
    return recipe.find(({ clay }) => clay !== of[0])?.clay ?? of[0];
  }
  const own = recipe.find(({ clay }) => clay === of[0])?.parts ?? 0;
  const other = recipe.find(({ clay }) => clay !== of[0])?.parts;
  return other === undefined ? String(own) : `${own} : ${other}`;
}
