import { CLAY_CLASSES } from '../core/clay/clay-class.ts';
import { EFFECTS } from '../core/clay/effect.ts';
import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/recipe/nearest-name.ts';
import { parentKey } from '../core/recipe/notation.ts';
import type { SeekRules, ShareRule } from '../core/recipe/seek-rules.ts';
import { type OpenClay, parentIndex } from './open-clay.ts';
import type { StockRow } from './ports.ts';

/** What a recipe must keep to, in the words of her clays; see `SeekRules`. */
export interface RulesInWords {
  /** Use these clays only. */
  readonly only?: readonly string[];
  /** Leave these out. */
  readonly without?: readonly string[];
  /** A part of each of these. */
  readonly must?: readonly string[];
  /** Use clays of these lines only. */
  readonly lines?: readonly string[];
  /** Clays of at most so many lines in one recipe. */
  readonly mostLines?: number;
  readonly atLeast?: readonly ShareInWords[];
  readonly atMost?: readonly ShareInWords[];
  /** Half a part of any clay may move the colour by this at most, dE00. */
  readonly halfPart?: number;
  /** Grams of the batch wanted: of no clay more than the stock holds. */
  readonly batchG?: number;
}

/** A share of a line, a class of clay (`translucent`, `pearl`) or one clay. */
export interface ShareInWords {
  readonly of: string;
  /** 0-1. */
  readonly share: number;
}

export type RuleName = keyof RulesInWords;

/** The rules of a call over the parents of a model, and which parents may be used. */
export interface RulesOfCall {
  readonly allowed: readonly number[];
  readonly rules: SeekRules;
}

/**
 * Refuses: names no clay has, lines or classes without a clay -> parent-unknown, group-unknown;
 *          rules of which no recipe can keep all -> rules-contradict, in one sentence
 */
export function rulesOfCall(
  clay: OpenClay,
  words: RulesInWords,
  stock: readonly StockRow[],
  mostParents: number,
  parts: number,
): RulesOfCall {
  const { parents } = clay.predictor.model;
  const all = parents.map((_, i) => i);
  const rows = stockByParent(clay, stock);
  const lineOf = all.map((p) => rows.get(p)?.line ?? '');
  const lineKeys = lineOf.map(parentKey);
  const indices = (names: readonly string[] | undefined) => [
    ...new Set((names ?? []).map((name) => parentIndex(clay, name))),
  ];
  const only = words.only === undefined ? all : indices(words.only);
  const without = indices(words.without);
  const must = indices(words.must);
  const ofLines =
    words.lines === undefined
      ? all
      : words.lines.flatMap((line) => groupOf(line, 'line').filter((p) => lineOf[p] !== ''));
  const allowed = all.filter(
    (p) => only.includes(p) && !without.includes(p) && ofLines.includes(p),
  );
  const shares = (list: readonly ShareInWords[] | undefined): ShareRule[] =>
    (list ?? []).map(({ of, share }) => ({ parents: groupOf(of, 'share'), share }));
  const least = shares(words.atLeast);
  const most = [...shares(words.atMost), ...stockRules()];
  contradictions();
  return {
    allowed,
    rules: {
      ...(must.length > 0 ? { must } : {}),
      ...(least.length > 0 ? { least } : {}),
      ...(most.length > 0 ? { most } : {}),
      ...(words.mostLines === undefined ? {} : { lines: { of: lineKeys, most: words.mostLines } }),
      ...(words.halfPart === undefined ? {} : { halfPart: words.halfPart }),
    },
  };

  /** Clays of a line, of a class, or one clay. */
  function groupOf(word: string, what: 'line' | 'share'): number[] {
    const key = parentKey(word);
    const ofLine = all.filter((p) => lineKeys[p] === key && key !== '');
    if (ofLine.length > 0) return ofLine;
    if (what === 'share') {
      const ofClass = all.filter(
        (p) => parents[p].clayClass === key || parents[p].effect?.effect === key,
      );
      if (ofClass.length > 0) return ofClass;
      const own = clay.indexOf.get(key);
      if (own !== undefined) return [own];
      if ([...CLAY_CLASSES, ...EFFECTS].some((name) => name === key)) return [];
    }
    const known = [...new Set(lineOf)].filter((line) => line !== '');
    const [nearest] = nearestNames(word, [
      ...known,
      ...(what === 'share' ? [...CLAY_CLASSES, ...EFFECTS, ...parents.map((p) => p.name)] : []),
    ]);
    throw new AppError({
      code: 'group-unknown',
      kind: 'bad-input',
      detail: `"${word.slice(0, 80)}" is no line${what === 'share' ? ', kind of clay or clay' : ''} here.`,
      hint:
        nearest !== undefined
          ? `Did you mean ${nearest}?`
          : known.length > 0
            ? `The lines are ${known.join(', ')}.`
            : 'Lines stand in the column "line" of a stock file: give it with --stock.',
    });
  }

  function stockRules(): ShareRule[] {
    const { batchG } = words;
    if (batchG === undefined) return [];
    if (stock.length === 0) {
      throw contradiction('A batch is asked for, and no stock is given to take it from.');
    }
    return allowed.flatMap((p) => {
      const onHand = rows.get(p)?.onHandG;
      return onHand !== undefined && onHand < batchG
        ? [{ parents: [p], share: onHand / batchG }]
        : [];
    });
  }

  function contradictions(): void {
    const name = (p: number) => parents[p].name;
    if (allowed.length === 0) throw contradiction('With these rules no clay is left to mix from.');
    const lost = must.find((p) => !allowed.includes(p));
    if (lost !== undefined) {
      const why = without.includes(lost) ? 'left out' : 'not among the clays allowed';
      throw contradiction(`${name(lost)} must be in every recipe and is ${why}.`);
    }
    const room = Math.min(mostParents, parts);
    if (must.length > room) {
      throw contradiction(
        `${must.length} clays must be in every recipe, and a recipe has room for ${room}.`,
      );
    }
    const mustLines = new Set(must.map((p) => lineKeys[p]));
    if (words.mostLines !== undefined && mustLines.size > words.mostLines) {
      throw contradiction(
        `The clays that must be in it come from ${mustLines.size} lines, and ${words.mostLines} are allowed.`,
      );
    }
    const percent = (share: number) => `${Number((100 * share).toFixed(1))} %`;
    for (const [i, { of, share }] of (words.atLeast ?? []).entries()) {
      const mine = least[i].parents;
      if (share > 0 && !mine.some((p) => allowed.includes(p))) {
        throw contradiction(
          `At least ${percent(share)} of ${of} is asked, and no clay of it is allowed.`,
        );
      }
      const cap = most.find(
        (rule) => rule.share < share && mine.every((p) => rule.parents.includes(p)),
      );
      if (cap !== undefined) {
        throw contradiction(
          `At least ${percent(share)} of ${of} is asked, and at most ${percent(cap.share)} of it is allowed.`,
        );
      }
    }
    const apart = (words.atLeast ?? []).filter((_, i) =>
      least.every(
        (other, j) => i === j || !other.parents.some((p) => least[i].parents.includes(p)),
      ),
    );
    const sum = apart.reduce((total, { share }) => total + share, 0);
    if (sum > 1 + 1e-9) {
      throw contradiction(`The least shares asked add up to ${percent(sum)}.`);
    }
    for (const p of must) {
      const cap = most.find((rule) => rule.parents.includes(p) && rule.share < 1 / parts - 1e-9);
      if (cap !== undefined) {
        throw contradiction(
          `${name(p)} must be in every recipe, and at most ${percent(cap.share)} of it is allowed, less than one part in ${parts}.`,
        );
      }
    }
  }
}

/** Rows of the stock by parent of the model; clays the model does not know are left. */
export function stockByParent(
  clay: OpenClay,
  stock: readonly StockRow[],
): ReadonlyMap<number, StockRow> {
  const out = new Map<number, StockRow>();
  for (const row of stock) {
    const index = clay.indexOf.get(parentKey(row.name));
    if (index !== undefined) out.set(index, row);
  }
  return out;
}

function contradiction(detail: string): AppError {
  return new AppError({
    code: 'rules-contradict',
    kind: 'bad-input',
    detail,
    hint: 'Give one of the two up.',
  });
}
