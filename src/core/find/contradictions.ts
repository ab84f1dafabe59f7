import { AppError } from '../errors.ts';
import type { ShareRule } from '../search/search-rules.ts';
import type { StockRow } from './known-clays.ts';
import type { RulesFrame, RulesInWords } from './rules-in-words.ts';

/** Rules with their names resolved to clays, as indices into the model. */
interface RulesFound {
  readonly words: RulesInWords;
  readonly frame: RulesFrame;
  readonly rows: ReadonlyMap<number, StockRow>;
  readonly lineKeys: readonly string[];
  readonly allowed: readonly number[];
  readonly without: readonly number[];
  readonly must: readonly number[];
  /** In the order of `words.atLeast` and `words.atMost`. */
  readonly least: readonly ShareRule[];
  readonly most: readonly ShareRule[];
  readonly nameOf: (clay: number) => string;
}

/**
 * Rules that plainly leave no recipe. Contradictions that only show when parts are counted are left
 * to the search, whose answer "no recipe fits all these rules" names the rule to remove.
 * Refuses: the first such pair, in one sentence -> rules-contradict
 */
export function checkContradictions(found: RulesFound): void {
  const { words, allowed } = found;
  if (allowed.length === 0) {
    const named = [words.only, words.without, words.lines].filter((list) => list !== undefined);
    throw contradiction(
      'These rules leave no clay to mix from.',
      named.length > 1 ? 'Remove one of the two rules.' : 'Allow some.',
    );
  }
  checkMusts(found);
  checkShares(found);
}

function checkMusts({ words, frame, rows, lineKeys, ...rest }: RulesFound): void {
  const { allowed, without, must, most, nameOf } = rest;
  const { mostClays, parts } = frame;
  const lost = must.find((p) => !allowed.includes(p));
  if (lost !== undefined) {
    const why = without.includes(lost) ? 'left out' : 'not among the clays allowed';
    throw contradiction(`${nameOf(lost)} must be in every recipe and is ${why}.`);
  }
  const room = Math.min(mostClays, parts);
  if (must.length > room) {
    throw contradiction(
      `${must.length} clays must be in every recipe, and a recipe has room for ${room}.`,
    );
  }
  const lines = new Set(must.map((p) => lineKeys[p]));
  if (words.mostLines !== undefined && lines.size > words.mostLines) {
    const allowedLines = words.mostLines === 1 ? '1 is' : `${words.mostLines} are`;
    throw contradiction(
      `The clays that must be in every recipe come from ${lines.size} lines, and ${allowedLines} allowed.`,
    );
  }
  for (const p of must) {
    const at = most.findIndex((rule) => rule.clays.includes(p) && rule.share < 1 / parts - 1e-9);
    if (at >= 0) {
      const { of, share } = (words.atMost ?? [])[at];
      throw contradiction(
        `${nameOf(p)} must be in every recipe, and at most ${percent(share)} ${of} is less than one part in ${parts}.`,
        'Remove one of the two rules, or allow more parts.',
      );
    }
    if (words.batchG !== undefined && rows.get(p)?.onHandG === 0) {
      throw contradiction(`${nameOf(p)} must be in every recipe, and the stock holds none of it.`);
    }
  }
}

function checkShares({ words, allowed, least, most }: RulesFound): void {
  const atLeast = words.atLeast ?? [];
  atLeast.forEach(({ of, share }, i) => {
    const mine = least[i].clays.filter((p) => allowed.includes(p));
    if (share > 0 && mine.length === 0) {
      throw contradiction(
        `At least ${percent(share)} ${of} is required, but none of the clays to use is ${of}.`,
        'Remove that rule, or allow such a clay.',
      );
    }
    const cap = most.findIndex(
      (rule) => rule.share < share && mine.every((p) => rule.clays.includes(p)),
    );
    if (cap >= 0) {
      const capped = (words.atMost ?? [])[cap];
      throw contradiction(
        `At least ${percent(share)} ${of} is required, and at most ${percent(capped.share)} ${capped.of} is allowed.`,
      );
    }
  });
  const apart = atLeast.filter((_, i) =>
    least.every((other, j) => i === j || !other.clays.some((p) => least[i].clays.includes(p))),
  );
  const sum = apart.reduce((total, { share }) => total + share, 0);
  if (sum > 1 + 1e-9) {
    throw contradiction(`The least shares add up to ${percent(sum)}.`, 'Lower one of them.');
  }
}

function percent(share: number): string {
  return `${Number((100 * share).toFixed(1))} %`;
}

/** The error for rules that no recipe can meet together. */
export function contradiction(detail: string, hint = 'Remove one of the two rules.'): AppError {
  return new AppError({ code: 'rules-contradict', kind: 'bad-input', detail, hint });
}
