import { clayKey } from '../../core/notation/notation.ts';
import type { Target } from './match-code.ts';

/** What a tile means, and whether the user marked it as a new block. */
export interface Named {
  readonly target: Target;
  readonly newBlock: boolean;
  readonly take: boolean;
}

/**
 * Lets a photo add a clay and use it: once a plain tile is marked as a new block, every row and recipe that
 * names that clay means it.
 * Shape:   rows -> their targets, in the same order
 * Holds:   an excluded row adds nothing; letter case does not matter
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
