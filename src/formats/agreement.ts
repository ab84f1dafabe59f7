import { clayKey, formatRecipe, sharesOf } from '../core/notation/notation.ts';
import type { Reading } from '../domain/records/reading.ts';
import { shown, unreadable } from '../domain/unreadable-file.ts';

/** Two recipes are the same when no share differs by more; numbers with 6 digits differ by less. */
const SAME_SHARE = 1e-5;

/**
 * The same readings, with every tile and clay spelt as in the first row that names it. A tile is one piece
 * of clay, raw or baked, and has one recipe.
 * Refuses: a tile again with another recipe or basis -> file-unreadable, naming both lines
 */
export function agreeOnTiles(readings: readonly Reading[]): readonly Reading[] {
  const clays = new Map<string, string>();
  const tiles = new Map<string, Reading>();
  return readings.map((reading) => {
    const of = reading.of.map(({ clay, parts }) => {
      const key = clayKey(clay);
      const first = clays.get(key) ?? clay;
      clays.set(key, first);
      return { clay: first, parts };
    });
    const key = clayKey(reading.tile);
    const before = tiles.get(key);
    if (before === undefined) {
      const first = { ...reading, of };
      tiles.set(key, first);
      return first;
    }
    const same = { ...reading, of, tile: before.tile };
    if (!sameMix(before, same)) {
      throw unreadable({
        ...reading.place,
        saw: `tile "${shown(reading.tile)}" made of ${mixOf(same)}`,
        expected: `${mixOf(before)}, as on line ${before.place.line}`,
        hint: 'Give the two tiles different names, or correct the recipe.',
      });
    }
    return same;
  });
}

function sameMix(a: Reading, b: Reading): boolean {
  const shares = new Map(sharesOf(a.of).map((s) => [s.key, s.share]));
  const others = sharesOf(b.of);
  if (a.basis !== b.basis && others.length > 1) return false;
  return (
    others.length === shares.size &&
    others.every((s) => Math.abs((shares.get(s.key) ?? 2) - s.share) < SAME_SHARE)
  );
}

function mixOf(reading: Reading): string {
  return `${shown(formatRecipe(reading.of))} by ${reading.basis}`;
}
