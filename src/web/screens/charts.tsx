import '../look/tiles.css';
import './charts/charts.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { type CSSProperties, useMemo, useState } from 'react';
import { wordsOf } from '../book/change.ts';
import type { OpenClays } from '../book/clays.ts';
import { useVerb } from '../book/use-verb.ts';
import type { Studio } from '../find/studio.ts';
import { StudioGate } from '../find/studio-gate.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { CellDialog } from './charts/cell-dialog.tsx';
import { ChartSheet, type ShownCell } from './charts/chart-sheet.tsx';
import { useTilesForChart } from './charts/tiles-for-chart.ts';
import { TilesTabs } from './tiles/tiles-tabs.tsx';

/** Which tiles make a chart of my clays? */
export function Charts() {
  return <StudioGate>{(clays, studio) => <ChartsOf clays={clays} studio={studio} />}</StudioGate>;
}

/** Sides of a square cell in print, mm. */
const SIZES = ['15', '20', '25'] as const;
/** Clays of a grid. */
const GRID = { least: 2, most: 3 } as const;

function ChartsOf({ clays, studio }: { readonly clays: OpenClays; readonly studio: Studio }) {
  const { line: asked } = useSearch({ strict: false });
  const navigate = useNavigate();
  const tiles = useTilesForChart(clays, studio);
  const [size, setSize] = useState<string>('20');
  const [grid, setGrid] = useState<readonly string[]>([]);
  const [open, setOpen] = useState<ShownCell | undefined>();
  const lines = studio.lines.filter(({ id }) => studio.clays.some(({ lineId }) => lineId === id));
  const line = lines.find(({ id }) => id === asked) ?? (asked === 'grid' ? undefined : lines[0]);
  const question = useMemo(() => {
    if (tiles === undefined) return undefined;
    const rest = { tiles, stock: studio.stock };
    if (line !== undefined) return { ...rest, rules: { lines: [line.name] } };
    const down = grid.flatMap((id) => {
      const clay = studio.byBlock.get(id);
      return clay === undefined
        ? []
        : [{ recipe: [{ clay: clay.name, parts: 1 }], words: clay.name }];
    });
    return down.length < GRID.least ? undefined : { ...rest, down };
  }, [tiles, studio, line, grid]);
  const heard = useVerb(clays, studio, 'chart', question);
  const answer = heard.old ? undefined : heard.latest?.answer;
  const cells = answer?.rows.flatMap((row) => row.cells) ?? [];
  const filled = cells.filter((cell) => cell.read !== null).length;
  return (
    <div className="screen charts" style={{ '--cell': `${size}mm` } as CSSProperties}>
      <header className="head-line">
        <h1>Charts</h1>
        <TilesTabs />
      </header>
      <div className="charts-ask">
        <Choice
          label="Chart"
          value={line?.id ?? 'grid'}
          onChange={(next) => void navigate({ to: '/charts', search: { line: next } })}
          options={[...lines.map(({ id, name }) => [id, name] as const), ['grid', 'A few clays']]}
        />
        <Pick
          label="Tiles on paper"
          value={size}
          onChange={setSize}
          options={SIZES.map((mm) => [mm, `${mm} mm`] as const)}
        />
        <div className="actions">
          <Button isDisabled={cells.length === 0} onPress={() => window.print()}>
            Print the empty chart
          </Button>
        </div>
      </div>
      {line === undefined ? (
        <div className="actions charts-grid">
          {grid.map((id) => (
            <Button
              key={id}
              kind="quiet"
              onPress={() => setGrid(grid.filter((one) => one !== id))}
              aria-label={`Remove ${studio.byBlock.get(id)?.name}`}
            >
              {studio.byBlock.get(id)?.name} ×
            </Button>
          ))}
          {grid.length >= GRID.most ? null : (
            <ClayAdder
              label="Add a clay"
              among={(id) => studio.byBlock.has(id) && !grid.includes(id)}
              onChoose={(id) => setGrid([...grid, id])}
            />
          )}
        </div>
      ) : null}
      {heard.fault === undefined || question === undefined ? null : (
        <p className="warning lead">{wordsOf(heard.fault)}</p>
      )}
      {lines.length === 0 && line === undefined && asked !== 'grid' ? (
        <EmptyState title="No line yet" actions={<Link to="/stock">Stock</Link>}>
          A chart shows the clays of one line. Say in Stock which line each block is of.
        </EmptyState>
      ) : answer === undefined ? (
        heard.fault !== undefined ? null : line === undefined && grid.length < GRID.least ? (
          <EmptyState picture="tiles" title="Choose two or three clays">
            The chart shows every pair of them, half and half.
          </EmptyState>
        ) : (
          <JobProgress what="Laying out the chart" />
        )
      ) : (
        <>
          <p className="lead charts-said">
            {filled === 0 ? 'No tile' : filled} of {cells.length} read. Striped colours are
            predicted; bake the tile and read it, and the cell fills.
          </p>
          <ChartSheet rows={answer.rows} onOpen={setOpen} />
        </>
      )}
      {open === undefined ? null : (
        <CellDialog cell={open} clays={clays} studio={studio} onClose={() => setOpen(undefined)} />
      )}
    </div>
  );
}
