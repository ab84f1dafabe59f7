import type { ClayShare } from '../clay/mixture.ts';

/** A tile or a test ball as it is cut: whole parts of clays of a model, by index. */
export type WholeParts = readonly { readonly clay: number; readonly parts: number }[];

/** One key for a mix, whatever the order or multiple it is written in. */
export function keyOfShares(parts: readonly ClayShare[]): string {
  return [...parts]
    .sort((one, other) => one.clay - other.clay)
    .map(({ clay, share }) => `${clay}:${share.toFixed(9)}`)
    .join(' ');
}

/** Whether two are the same mix, whatever the order or multiple they are cut in. */
export function isSameRecipe(one: WholeParts, other: WholeParts): boolean {
  const shares = (recipe: WholeParts) => {
    const all = recipe.reduce((sum, { parts }) => sum + parts, 0);
    return new Map(recipe.map(({ clay, parts }) => [clay, parts / all]));
  };
  const [p, q] = [shares(one), shares(other)];
  return p.size === q.size && [...p].every(([k, v]) => Math.abs(v - (q.get(k) ?? -1)) < 1e-9);
}

/** Most parts first, as a combination counts its main clay. */
export function byParts(recipe: WholeParts): WholeParts {
  return [...recipe].sort((a, b) => b.parts - a.parts || a.clay - b.clay);
}
