import { EigenvalueDecomposition, Matrix, pseudoInverse } from 'ml-matrix';
import { type BlockFactor, BlockMatrix, factorise } from '../clay/block-cholesky.ts';
import type { ClayModel } from '../clay/clay-model.ts';
import { LATENTS } from '../clay/prior.ts';
import { AppError } from '../errors.ts';
import { layoutOfShared } from './layout-of-shared.ts';
import type { SharedClays } from './shared-clays.ts';

/** Standard deviation along directions that nothing is said of, so that the belief has an inverse. */
const LEAST_DEVIATION = 1e-3;
/** Rounding, and ties that were left out, may leave a correlation without an inverse: no value is below this. */
const LEAST_EIGENVALUE = 0.004;

/**
 * A clay model out of shared clays, for predictions, searches and translations as with an own model.
 * Refuses: a correlation that cannot be one -> shared-clays-unfit (bad-input)
 * Holds:   the same colours, and nearly the same ±
 */
export function modelOfShared(shared: SharedClays): ClayModel {
  const { spreads, ...model } = layoutOfShared(shared);
  const ways = [...shared.clays.map(({ modes }) => modesBlock(modes)), ...spreads.map(axesBlock)];
  return { ...model, factor: factorOf(ways, shared.correlation) };
}

/** Unknowns of one block by what is said of them. */
interface Block {
  readonly size: number;
  readonly unknowns: number;
  /** unknowns x size: what each unknown is of the block. */
  readonly measures: Matrix;
  /** size x size: the precision of what nothing is said of. */
  readonly rest: Matrix;
}

function modesBlock(modes: readonly Float64Array[]): Block {
  const columns = new Matrix(modes.map((mode) => [...mode])).transpose();
  const measures = pseudoInverse(columns);
  const rest = Matrix.eye(LATENTS)
    .sub(columns.mmul(measures))
    .mul(1 / LEAST_DEVIATION ** 2);
  return { size: LATENTS, unknowns: modes.length, measures, rest };
}

function axesBlock(spread: Float64Array): Block {
  const scale = [...spread].map((v) => 1 / Math.max(v, LEAST_DEVIATION ** 2));
  return {
    size: spread.length,
    unknowns: spread.length,
    measures: Matrix.diag(scale),
    rest: Matrix.zeros(spread.length, spread.length),
  };
}

function factorOf(blocks: readonly Block[], correlation: Float64Array | undefined): BlockFactor {
  const precision = correlation === undefined ? undefined : precisionOf(correlation);
  const matrix = new BlockMatrix(blocks.map(({ size }) => size));
  let row = 0;
  blocks.forEach((one, i) => {
    let column = 0;
    for (let j = 0; j <= i; j++) {
      const other = blocks[j];
      const own =
        precision === undefined
          ? i === j
            ? Matrix.eye(one.unknowns)
            : undefined
          : precision.subMatrix(row, row + one.unknowns - 1, column, column + other.unknowns - 1);
      column += other.unknowns;
      if (own === undefined) continue;
      const joined = one.measures.transpose().mmul(own).mmul(other.measures);
      if (i === j) joined.add(one.rest);
      matrix.block(i, j).set(joined.to1DArray());
    }
    row += one.unknowns;
  });
  return factorise(
    matrix,
    blocks.map((_, i) => i),
    1e-9,
  );
}

function precisionOf(correlation: Float64Array): Matrix {
  const count = Math.round(Math.sqrt(correlation.length));
  const all = Matrix.from1DArray(count, count, correlation);
  const { eigenvectorMatrix: ways, realEigenvalues } = new EigenvalueDecomposition(all, {
    assumeSymmetric: true,
  });
  const below = realEigenvalues.reduce((sum, value) => sum + Math.max(0, -value), 0);
  if (!(below < MOST_MISSED * count)) throw unfit();
  const raised = realEigenvalues.map((value) => Math.max(value, LEAST_EIGENVALUE));
  const scale = Array.from({ length: count }, (_, i) =>
    Math.sqrt(raised.reduce((sum, value, k) => sum + value * ways.get(i, k) ** 2, 0)),
  );
  const inverse = ways.mmul(Matrix.diag(raised.map((value) => 1 / value))).mmul(ways.transpose());
  // Raised values made each unknown wider: scaled back, each has its own width again.
  return Matrix.diag(scale).mmul(inverse).mmul(Matrix.diag(scale));
}

/** Share of all variance by which ties that were rounded and left out may miss being a correlation. */
const MOST_MISSED = 0.1;

function unfit(): AppError {
  return new AppError({
    code: 'shared-clays-unfit',
    kind: 'bad-input',
    detail: 'What the file says of its clays contradicts itself.',
    hint: 'Ask the author for the file again.',
  });
}
