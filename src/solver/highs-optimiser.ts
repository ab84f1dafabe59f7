import engine, { type Highs, type HighsCallbackMap, type ModelData } from 'highs';
import { AppError } from '../core/errors.ts';
import type { LinearProblem, Optimiser } from '../core/numeric/linear-problem.ts';

// The types of the package describe its CommonJS form, where the loader is one level deeper.
const loadHighs = engine as unknown as typeof engine.default;

/** Solutions are proven to within this; costs are whole numbers where a proof is asked for. */
const GAP = 0.5;

/** Of the engine: its values keep to all rows. */
const FEASIBLE = 2;

/** Where the engine's binary is, where a shell cannot let the package find the file itself. */
export interface EngineFile {
  readonly locateFile: (file: string) => string;
}

/**
 * Opens the HiGHS optimiser. Solving blocks its thread.
 * Refuses: an engine that ends without an answer -> optimiser-failed
 */
export async function highsOptimiser(file?: EngineFile): Promise<Optimiser> {
  const highs = await loadHighs(file);
  return (problem) =>
    problem.costs.length === 0
      ? { values: [], cost: 0, bound: 0 }
      : highs.withModel(modelOf(highs, problem), (model) => {
          const { gap, seconds, steps } = problem;
          model.options.set(
            gap === undefined
              ? { mip_abs_gap: GAP, mip_rel_gap: 0 }
              : { mip_abs_gap: 0, mip_rel_gap: gap },
          );
          if (seconds !== undefined) model.options.set({ time_limit: seconds });
          model.run(steps === undefined ? undefined : endingAfter(highs, steps));
          const status = model.getModelStatus();
          const { optimal, infeasible, unboundedOrInfeasible, timeLimit, interrupted } =
            highs.constants.modelStatus;
          if (status === infeasible || status === unboundedOrInfeasible) return undefined;
          const inTime = status === optimal;
          if (!inTime && status !== timeLimit && status !== interrupted) throw failed(status);
          if (!inTime && Number(model.info.get('primal_solution_status')) !== FEASIBLE) {
            return undefined;
          }
          const { colValue, rowDual } = model.getSolution();
          const values = [...colValue];
          const { whole, costs } = problem;
          const rounded = values.map((value, i) => (whole[i] ? Math.round(value) : value));
          const cost = rounded.reduce((sum, value, i) => sum + value * costs[i], 0);
          const isWhole = whole.includes(true);
          const bound = isWhole ? Number(model.info.get('mip_dual_bound')) : inTime ? cost : 0;
          return {
            values: rounded,
            cost,
            bound: Math.min(cost, bound),
            ...(isWhole ? {} : { prices: [...rowDual] }),
          };
        });
}

/** Ends the search for whole numbers after so many steps. */
function endingAfter(highs: Highs, steps: number): HighsCallbackMap {
  return {
    [highs.constants.callbackType.mipInterrupt](event) {
      if (Number(event.data.mip_total_lp_iterations ?? 0) >= steps) event.interrupt();
      return undefined;
    },
  };
}

function modelOf(highs: Highs, { costs, most, whole, rows }: LinearProblem): ModelData {
  const { continuous, integer } = highs.constants.variableType;
  const starts = [0];
  for (const { terms } of rows) starts.push(starts[starts.length - 1] + terms.length);
  return {
    numCols: costs.length,
    numRows: rows.length,
    colCost: costs,
    colLower: costs.map(() => 0),
    colUpper: most,
    rowLower: rows.map(({ least }) => least ?? -highs.infinity),
    rowUpper: rows.map((row) => row.most ?? highs.infinity),
    matrix: {
      format: 'csr',
      numRows: rows.length,
      numCols: costs.length,
      starts,
      indices: rows.flatMap(({ terms }) => terms.map(([at]) => at)),
      values: rows.flatMap(({ terms }) => terms.map(([, factor]) => factor)),
    },
    integrality: whole.map((isWhole) => (isWhole ? integer : continuous)),
  };
}

function failed(status: number): AppError {
  return new AppError({
    code: 'optimiser-failed',
    kind: 'internal',
    detail: `The optimiser ended without an answer (status ${status}).`,
    hint: 'Ask for less at once: fewer clays, or a smaller tolerance.',
  });
}
