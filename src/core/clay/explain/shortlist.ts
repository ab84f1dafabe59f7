import { type Candidate, candidatesOf } from './candidates.ts';
import { screenOf } from './screen.ts';
import { rowsOfFaults, type Weighed } from './weighed.ts';

/** Tiles that are left out in each round, by turns and all at once, to see whether the others then agree. */
const LEFT_OUT = { byTurns: 5, atOnce: 8 };
/** Of these, tiles that miss far; the others share a clay with one of them and may hide in its place. */
const FARTHEST = 3;
/** A clay in more than this share of the tiles, as white is, does not point at its tiles. */
const COMMON = 0.4;
/** Faults that are fitted, judged without one tile; and exchanges, judged without all of the tiles. */
const LISTED = { one: 6, all: 6 };
/** Faults this much less likely than the best of their list are not fitted, ln. */
const HOPELESS = 20;

/**
 * The tiles that miss farthest, and those that share a clay with one of them: a wrong tile that the
 * others hardly determine draws the fit to itself, and a right one misses in its place.
 */
export function rowsToLeaveOut({ fit, leftOut, faults, readings }: Weighed): {
  readonly byTurns: readonly number[];
  readonly atOnce: readonly number[];
} {
  const touched = rowsOfFaults(faults);
  const open = leftOut.flatMap((_, row) =>
    touched.has(row) || readings[row].checked === true ? [] : [row],
  );
  const far = open.toSorted((a, b) => leftOut[b].standardised - leftOut[a].standardised);
  const farthest = far.slice(0, FARTHEST);
  const { tiles, clays } = fit.set;
  const uses = clays.map(
    (_, clay) => tiles.filter(({ parts }) => parts.some((part) => part.clay === clay)).length,
  );
  const clayOf = (row: number) =>
    tiles[row].parts.map(({ clay }) => clay).filter((clay) => uses[clay] <= COMMON * tiles.length);
  const hiding = farthest.flatMap((row) => {
    const own = new Set(clayOf(row));
    return open
      .filter((other) => clayOf(other).some((clay) => own.has(clay)))
      .sort((a, b) => leftOut[b].expected - leftOut[a].expected);
  });
  const rows = (all: readonly number[], most: number) => [...new Set(all)].slice(0, most);
  return {
    byTurns: rows([...farthest, ...hiding], LEFT_OUT.byTurns),
    atOnce: rows([...farthest, ...hiding, ...far], LEFT_OUT.atOnce),
  };
}

/**
 * Faults worth a fit, the likeliest of each list in turn: judged from the fits without one tile, in which
 * one wrong tile is out; exchanges also from the fit without all of the tiles, in which both may be.
 */
export function shortlist(
  base: Weighed,
  withoutOne: readonly Weighed[],
  withoutAll: Weighed,
): Candidate[] {
  const touched = rowsOfFaults(base.faults);
  const labs = base.leftOut.map(({ read }) => read);
  const candidates = (row: number) =>
    candidatesOf(base.readings, labs, [row]).filter(
      ({ fault: { kind, rows } }) => kind !== 'reading' && !rows.some((each) => touched.has(each)),
    );
  const one = new Scores();
  const all = new Scores();
  for (const { fit, ln, lnPrior, faults, widening } of withoutOne) {
    const [row] = faults[faults.length - 1].rows;
    const screen = screenOf(fit, base.readings, widening);
    for (const candidate of candidates(row)) {
      const { fault } = candidate;
      const isWide = fault.rows.length > 2;
      const gain = isWide ? Number.POSITIVE_INFINITY : screen.without(fault) + candidate.lnPrior;
      one.add(candidate, ln - lnPrior + gain);
    }
  }
  const screen = screenOf(withoutAll.fit, base.readings, withoutAll.widening);
  for (const row of rowsOfFaults(withoutAll.faults.slice(base.faults.length))) {
    for (const candidate of candidates(row)) {
      const { fault, lnPrior } = candidate;
      if (fault.kind !== 'swapped') continue;
      all.add(candidate, screen.without(fault) - screen.asRead(fault.rows) + lnPrior);
    }
  }
  const alone = Math.max(...withoutOne.map(({ ln, lnPrior }) => ln - lnPrior));
  const listed = [...one.best(LISTED.one, alone), ...all.best(LISTED.all, 0)];
  return [...new Map(listed.map((each) => [JSON.stringify(each.fault), each])).values()];
}

/** Candidates with their best score each. */
class Scores {
  readonly #known = new Map<string, { candidate: Candidate; score: number }>();

  add(candidate: Candidate, score: number): void {
    const key = JSON.stringify(candidate.fault);
    const known = this.#known.get(key);
    if (known === undefined || known.score < score) this.#known.set(key, { candidate, score });
  }

  /** The first few, unless hopeless beside the best or beside another score. */
  best(count: number, other: number): Candidate[] {
    const sorted = [...this.#known.values()].sort((a, b) => b.score - a.score).slice(0, count);
    const best = Math.max(other, sorted[0]?.score ?? other);
    return sorted.filter(({ score }) => score > best - HOPELESS).map(({ candidate }) => candidate);
  }
}
