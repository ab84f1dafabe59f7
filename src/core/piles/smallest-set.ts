import { solved, type WorkSteps } from '../find/work-steps.ts';
import type { LinearProblem, LinearRow } from '../numeric/linear-problem.ts';
import { type Chance, seededChance } from '../numeric/seeded-chance.ts';
import type { HeldBlocks, Makeable } from './makeable.ts';

/** What buying each block costs, and what the user has decided about it. */
export interface BlockTerms {
  /** Whole numbers from 0. */
  readonly cost: number;
  readonly pinned?: 'always' | 'never';
}

export interface SetFound {
  readonly held: HeldBlocks;
  readonly cost: number;
  /** The largest difference among the blocks that are mixed; 0 where none is. */
  readonly worst: number;
  /** No set costs less. */
  readonly proven: boolean;
}

/** Of sets that cost the same, one with more of the blocks preferred wins. */
const COST_UNIT = 1000;
/** Blocks for which rows are made in one round. */
const CUTS_A_ROUND = 12;
const SEED = 19;

/**
 * The cheapest sets of blocks from which all the others can be mixed, for falling tolerances.
 *
 * A set fails a block when no support of that block is in the set. Whatever contains the block itself, or any
 * block that would make it, is needed: so the failing set is made as large as it can be while it still fails,
 * and at least one block outside must be bought. These cuts are gathered; the cheapest set that meets all of
 * them and fails nothing is proven best. A set that fails at one tolerance fails at every smaller one, so cuts
 * are kept while the tolerance falls.
 *
 * Source: implicit hitting sets, as for instance in [Chandrasekaran2011]
 */
export function smallestSets(makeable: Makeable, terms: readonly BlockTerms[]) {
  const { size } = makeable;
  const cuts: { readonly block: number; readonly outside: readonly number[] }[] = [];
  const seen = new Set<string>();
  const often = new Int32Array(size);
  const chance = seededChance(SEED);
  const offered = Uint8Array.from(terms, ({ pinned }) => Number(pinned !== 'never'));

  return {
    /** Blocks that nothing mixes although they are never bought, at this tolerance. */
    unmakeable: (tolerance: number): number[] =>
      terms.flatMap(({ pinned }, block) =>
        pinned === 'never' && makeable.closest(block, offered, tolerance) === undefined
          ? [block]
          : [],
      ),
    /**
     * The cheapest set at a tolerance no larger than those before; `leftOut` are not asked for.
     * Shape: `preferred` is the set that should stay where that costs no more
     */
    *at(
      tolerance: number,
      leftOut: ReadonlySet<number>,
      preferred: HeldBlocks = new Uint8Array(size),
    ): WorkSteps<SetFound | undefined> {
      for (;;) {
        const solution = yield* solved(masterOf(preferred, leftOut), 'choosing blocks');
        if (solution === undefined) return undefined;
        const held = Uint8Array.from(solution.values, (value) => Number(value > 0.5));
        const failing = terms
          .map((_, block) => block)
          .filter(
            (block) =>
              held[block] === 0 &&
              !leftOut.has(block) &&
              makeable.closest(block, held, tolerance) === undefined,
          );
        if (failing.length === 0) {
          const cost = terms.reduce((sum, one, block) => sum + held[block] * one.cost, 0);
          return {
            held,
            cost,
            worst: worstOf(makeable, held, tolerance, leftOut),
            proven: Math.ceil(solution.bound / COST_UNIT - 1e-6) >= cost,
          };
        }
        let added = false;
        for (const block of spread(failing, CUTS_A_ROUND)) {
          added = cut(block, held, tolerance) || added;
        }
        if (!added) return undefined;
      }
    },
  };

  /** A row that the set misses; false where no block may be bought that would help. */
  function cut(block: number, held: HeldBlocks, tolerance: number): boolean {
    let isNew = false;
    for (const order of [byUse(chance), inAnyOrder(chance)]) {
      const grown = Uint8Array.from(held);
      // What is never bought may be there or not: no set can have it.
      for (let i = 0; i < size; i++) if (offered[i] === 0) grown[i] = 0;
      for (const more of order) {
        if (more === block || grown[more] === 1 || offered[more] === 0) continue;
        if (!makeable.wouldMake(block, grown, more, tolerance)) grown[more] = 1;
      }
      const outside = terms.flatMap((_, i) => (grown[i] === 0 && offered[i] === 1 ? [i] : []));
      const key = `${block}: ${outside.join(' ')}`;
      if (outside.length === 0 || seen.has(key)) continue;
      seen.add(key);
      cuts.push({ block, outside });
      for (const i of outside) often[i]++;
      isNew = true;
    }
    return isNew;
  }

  /** Blocks that many cuts name already go in first, so that new cuts name others. */
  function byUse(random: Chance): number[] {
    const at = inAnyOrder(random);
    return at.sort((one, other) => often[other] - often[one]);
  }

  function inAnyOrder(random: Chance): number[] {
    const keys = terms.map(() => random.uniform());
    return terms.map((_, i) => i).sort((one, other) => keys[one] - keys[other]);
  }

  function masterOf(preferred: HeldBlocks, leftOut: ReadonlySet<number>): LinearProblem {
    const pins: LinearRow[] = terms.flatMap(({ pinned }, i) =>
      pinned === 'always' ? [{ terms: [[i, 1] as const], least: 1 }] : [],
    );
    return {
      costs: terms.map(({ cost }, i) => COST_UNIT * cost - preferred[i]),
      most: terms.map(({ pinned }) => (pinned === 'never' ? 0 : 1)),
      whole: terms.map(() => true),
      rows: [
        ...pins,
        ...cuts
          .filter(({ block }) => !leftOut.has(block))
          .map(
            ({ outside }): LinearRow => ({
              terms: outside.map((i) => [i, 1] as const),
              least: 1,
            }),
          ),
      ],
    };
  }
}

/** The largest difference among the blocks that the set mixes. */
function worstOf(
  makeable: Makeable,
  held: HeldBlocks,
  tolerance: number,
  leftOut: ReadonlySet<number>,
): number {
  let worst = 0;
  for (let block = 0; block < makeable.size; block++) {
    if (held[block] === 1 || leftOut.has(block)) continue;
    worst = Math.max(worst, makeable.closest(block, held, tolerance)?.dE00 ?? 0);
  }
  return worst;
}

function spread(of: readonly number[], most: number): readonly number[] {
  if (of.length <= most) return of;
  return Array.from({ length: most }, (_, i) => of[Math.floor((i * of.length) / most)]);
}
