import { clayKey } from '../../core/notation/notation.ts';
import type { Target } from './match-code.ts';

/** What stands beside a tile, and whether she said there that it is a clay the book does not have. */
export interface Named {
  readonly target: Target;
  readonly newBlock: boolean;
  readonly take: boolean;
}

/**
 * Lets a photo define a clay and use it: once a plain tile is said to be a new clay, every row that names
 * that clay is of it, and recipes with it are understood.
 * Shape:   rows -> their targets, in the same order
 * Holds:   a row that is left out defines nothing; a clay is one whatever the case of its letters
 */
export function withNewClays(rows: readonly Named[]): readonly Target[] {
  const said = new Set(rows.flatMap((row) => (saysNew(row) ? [clayKey(row.target.title)] : [])));
  return rows.map((row): Target => {
    const { target } = row;
    if (target.is !== 'unknown') return target;
    const { title, missing, near, parts, code } = target;
    const coded = code === undefined ? {} : { code };
    if (parts === undefined) {
      return said.has(clayKey(title))
        ? { is: 'new block', title, ...coded, saidHere: saysNew(row) }
        : target;
    }
    const open = missing.filter((name) => !said.has(clayKey(name)));
    if (open.length === 0) return { is: 'parts', title, parts, ...coded };
    return { ...target, missing: open, near: open[0] === missing[0] ? near : [] };
  });
}

function saysNew<T extends Named>(
  row: T,
): row is T & { readonly target: Extract<Target, { is: 'unknown' }> } {
  const { target, newBlock, take } = row;
  return take && newBlock && target.is === 'unknown' && target.parts === undefined;
}
