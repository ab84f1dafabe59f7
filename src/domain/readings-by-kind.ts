import type { ClayModel } from '../core/clay/clay-model.ts';
import type { LeftOutTile } from '../core/clay/left-out.ts';
import type { LearnReport } from '../core/clay/report.ts';
import { clayKey, sharesOf } from '../core/notation/notation.ts';
import { pairs } from '../core/numeric/pairs.ts';
import type { ClayFile } from './clay-file.ts';
import { ERROR_SORTS, type ErrorSort } from './error-sorts.ts';
import type { Reading } from './records/reading.ts';
import { KINDS, type ReadingKind } from './records/reading-kind.ts';

/** Readings of each kind that hold a clay; kinds without one are left out. */
export type KindCounts = Readonly<Partial<Record<ReadingKind, number>>>;
type ErrorsApart = ClayFile['report']['apart'];

/** Counts by kind for clays by name, in their order. */
export function countsByKind(readings: readonly Reading[], clays: readonly string[]): KindCounts[] {
  const counts = new Map<string, Map<ReadingKind, number>>();
  for (const { of, kind } of readings) {
    for (const { key } of sharesOf(of)) {
      const own = counts.get(key) ?? new Map<ReadingKind, number>();
      counts.set(key, own.set(kind, (own.get(kind) ?? 0) + 1));
    }
  }
  return clays.map((name) => {
    const own = counts.get(clayKey(name));
    return Object.fromEntries(
      KINDS.flatMap((kind) => {
        const count = own?.get(kind);
        return count === undefined ? [] : [[kind, count]];
      }),
    );
  });
}

/**
 * The one word for how a clay is known: the surest kind among its readings, because one measured
 * reading weighs as much as a hundred tapped ones.
 */
export function knownFrom(counts: KindCounts): ReadingKind {
  return KINDS.find((kind) => (counts[kind] ?? 0) > 0) ?? 'measured';
}

/** Whether a clay is known from colours alone, never compared with a tile. */
export function isRoughlyKnown(counts: KindCounts): boolean {
  return ['rough', 'claimed'].includes(knownFrom(counts));
}

function sortOfTile({
  special,
  role,
  kind,
}: Pick<LeftOutTile, 'special' | 'role'> & { readonly kind: ReadingKind }): ErrorSort {
  if (special) return 'special clay';
  if (role === 'mix') return kind === 'measured' ? 'mixes' : 'mixes, not measured';
  if (kind !== 'measured') return 'plain tiles, not measured';
  return role === 'plain' ? 'plain tiles' : 'only plain tiles';
}

/**
 * Errors of tiles predicted from all the others, by sort of tile.
 * Holds: sorts without a tile are left out; the tiles of all sorts are those of the report
 */
function errorsApart(
  rows: readonly (Pick<LeftOutTile, 'dE00' | 'special' | 'role'> & {
    readonly kind: ReadingKind;
  })[],
): ErrorsApart {
  return ERROR_SORTS.flatMap((of) => {
    const errors = rows
      .filter((row) => sortOfTile(row) === of)
      .map(({ dE00 }) => dE00)
      .sort((a, b) => a - b);
    const readings = errors.length;
    const median = errors[Math.floor(readings / 2)];
    const worst = errors.at(-1);
    if (median === undefined || worst === undefined) return [];
    return {
      of,
      readings,
      meanDE00: errors.reduce((sum, e) => sum + e, 0) / readings,
      medianDE00: median,
      worstDE00: worst,
    };
  });
}

/** The report of a fit with what only the readings know: how each was got. */
export function reportByKind(
  report: LearnReport,
  model: Pick<ClayModel, 'clays'>,
  readings: readonly Reading[],
  counts: readonly KindCounts[],
): ClayFile['report'] {
  const rows = pairs(report.leaveOneOut, readings).map(([{ lnSize: _, ...row }, { kind }]) => ({
    ...row,
    kind,
  }));
  return {
    ...report,
    leaveOneOut: rows,
    apart: errorsApart(rows),
    clays: pairs(pairs(report.clays, model.clays), counts).map(([[row, { effect }], count]) => ({
      ...row,
      knownFrom: knownFrom(count),
      ...(effect === undefined ? {} : { effect: effect.effect }),
    })),
  };
}
