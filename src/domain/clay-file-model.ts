import type { BlockFactor } from '../core/clay/block-cholesky.ts';
import type { ClayModel, ModelCombination } from '../core/clay/clay-model.ts';
import type { Prior } from '../core/clay/prior.ts';
import { AppError } from '../core/errors.ts';
import { itemAt, pairs } from '../core/numeric/pairs.ts';
import type { ClayFile } from './clay-file.ts';

/**
 * The model of a clay file.
 * Refuses: a file learned with other expectations than the program's -> clay-file-prior (conflict)
 */
export function modelFromClayFile(
  file: ClayFile,
  name: string,
  prior: Prior,
  priorHash: string,
): ClayModel {
  if (file.priorHash !== priorHash) {
    throw new AppError({
      code: 'clay-file-prior',
      kind: 'conflict',
      detail: `${name} was learned by ${file.madeWith}, which expected other things of clay than this one does.`,
      hint: 'Learn again from the readings; they are all it needs.',
    });
  }
  const { clays, physics, combinations, sharedBlock, combinationSpread, geometry } = file;
  const { alternatives } = file;
  return {
    prior,
    clays: clays.map(({ effect, readings: _counts, ...p }) => ({
      ...p,
      latent: Float64Array.from(p.latent),
      ...(effect === undefined
        ? {}
        : { effect: { ...effect, departure: Float64Array.from(effect.departure) } }),
    })),
    physics: { shareExponent: 0, ...physics },
    combinations: combinations.map(inNumbers),
    sharedBlock,
    factor: factorFrom(file, name),
    combinationSpread,
    missFactor: file.missFactor ?? 1,
    geometry,
    ...(alternatives === undefined
      ? {}
      : {
          alternatives: alternatives.map((other) => ({
            ...other,
            clays: other.clays.map((p) => ({ ...p, latent: Float64Array.from(p.latent) })),
            physics: { shareExponent: 0, ...other.physics },
            combinations: other.combinations.map(inNumbers),
          })),
        }),
  };
}

function inNumbers(combination: ClayFile['combinations'][number]): ModelCombination {
  return { ...combination, departures: Float64Array.from(combination.departures) };
}

function factorFrom({ factor }: ClayFile, name: string): BlockFactor {
  const { order, sizes, columns } = factor;
  return {
    order,
    sizes,
    columns: pairs(columns, sizes).map(([{ rows, values }, size], j) => {
      const bytes = Uint8Array.from(atob(values), (c) => c.charCodeAt(0));
      const view = new DataView(bytes.buffer);
      const inBlock = (row: number) =>
        row === j ? (size * (size + 1)) / 2 : itemAt(sizes, row) * size;
      const count = rows.reduce((sum, row) => sum + inBlock(row), 0);
      if (bytes.byteLength !== count * 4) throw damagedClayFile(name, `column ${j} of the factor`);
      let at = 0;
      return rows.map((row) => {
        const block = new Float64Array(itemAt(sizes, row) * size);
        for (let k = 0; k < block.length; k++) {
          const [r, c] = [Math.floor(k / size), k % size];
          if (row === j && c > r) continue;
          const value = view.getFloat32(at, true);
          block[k] = value;
          at += 4;
          if (!Number.isFinite(value) || (row === j && r === c && !(value > 0))) {
            throw damagedClayFile(name, `column ${j} of the factor`);
          }
        }
        return { row, values: block };
      });
    }),
  };
}

export function damagedClayFile(name: string, what: string): AppError {
  return new AppError({
    code: 'clay-file-damaged',
    kind: 'bad-input',
    detail: `${name} is a clay model that was changed or damaged since it was written (${what.slice(0, 80)}).`,
    hint: 'Learn again from the readings, or take it from a copy.',
  });
}
