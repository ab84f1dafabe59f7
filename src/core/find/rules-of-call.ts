import { CLAY_CLASSES } from '../clay/clay-class.ts';
import { EFFECTS } from '../clay/effect-offset.ts';
import { AppError } from '../errors.ts';
import type { Basis } from '../mixes/mix-graph.ts';
import { nearestNames } from '../notation/nearest-name.ts';
import { clayKey } from '../notation/notation.ts';
import type { SearchRules, ShareRule } from '../search/search-rules.ts';
import { checkContradictions, contradiction } from './contradictions.ts';
import { specialEffectOf } from './flat-clays.ts';
import { clayIndex, type KnownClays, type StockRow } from './known-clays.ts';
import type { RulesFrame, RulesInWords, ShareInWords } from './rules-in-words.ts';

/** The rules of a call over the clays of a model, and which clays may be used. */
export interface RulesOfCall {
  readonly allowed: readonly number[];
  readonly rules: SearchRules;
}

/**
 * Refuses: names no clay has, lines or classes without a clay -> clay-unknown, group-unknown; a
 *          rule on lines where none is known -> lines-unknown; rules that no recipe can meet
 *          together -> rules-contradict, in one sentence
 * Holds:   a clay of unknown line counts as a line of its own; a clay whose grams the stock does
 *          not state counts as available. Clays that are not flat are left out unless the rules ask
 *          for them: by `effects`, or by name in `only`, `must` or `atLeast`; or where no clay is flat
 */
export function rulesOfCall(
  known: KnownClays,
  words: RulesInWords,
  frame: RulesFrame,
): RulesOfCall {
  const { clays } = known.predictor.model;
  const { names, hints } = known;
  const all = clays.map((_, i) => i);
  const usable = known.usable ?? all;
  const rows = stockByClay(known, frame.stock);
  const lineOf = all.map((p) => rows.get(p)?.line);
  const lineKeys = lineOf.map((line, p) => (line === undefined ? `?${p}` : clayKey(line)));
  const indices = (names: readonly string[] | undefined) => [
    ...new Set((names ?? []).map((name) => clayIndex(known, name))),
  ];
  if (words.mostLines !== undefined && lineOf.every((line) => line === undefined)) {
    throw linesUnknown(hints.line);
  }
  const only = words.only === undefined ? usable : indices(words.only);
  const without = indices(words.without);
  const must = indices(words.must);
  const ofLines = words.lines === undefined ? all : words.lines.flatMap(clayOfLine);
  const shares = (list: readonly ShareInWords[] | undefined): ShareRule[] =>
    (list ?? []).map(({ of, share, clays: named }) => ({
      clays: named === undefined ? groupOf(of) : indices(named),
      share,
    }));
  const least = shares(words.atLeast);
  const most = shares(words.atMost);
  const mayBe = all.filter(
    (p) => usable.includes(p) && only.includes(p) && !without.includes(p) && ofLines.includes(p),
  );
  const asked = new Set([
    ...(words.only === undefined ? [] : only),
    ...must,
    ...least.flatMap(({ clays, share }) => (share > 0 && !isMixed(clays) ? clays : [])),
  ]);
  const flat = words.effects === true ? mayBe : mayBe.filter((p) => isFlat(p) || asked.has(p));
  const allowed = flat.length === 0 ? mayBe : flat;
  const onHand = stockRules();
  checkContradictions({
    words,
    frame,
    rows,
    lineKeys,
    allowed,
    without,
    must,
    least,
    most,
    nameOf: (p) => names[p],
  });
  const caps = [...most, ...onHand];
  return {
    allowed,
    rules: {
      ...(must.length > 0 ? { must } : {}),
      ...(least.length > 0 ? { least } : {}),
      ...(caps.length > 0 ? { most: caps } : {}),
      ...(words.mostLines === undefined ? {} : { lines: { of: lineKeys, most: words.mostLines } }),
      ...(words.halfPart === undefined ? {} : { halfPart: words.halfPart }),
    },
  };

  function isFlat(p: number): boolean {
    return specialEffectOf(known, p, rows.get(p)) === undefined;
  }

  /** A line with flat clays and others: who asks for the line does not ask for its pearls. */
  function isMixed(group: readonly number[]): boolean {
    return group.some(isFlat);
  }

  function clayOfLine(word: string): readonly number[] {
    const found = all.filter((p) => lineKeys[p] === clayKey(word));
    if (found.length > 0) return found;
    if (knownLines().length === 0) throw linesUnknown(hints.line);
    throw groupUnknown(word, 'line', knownLines());
  }

  /** Clays of a line, of a class, or one clay. */
  function groupOf(word: string): readonly number[] {
    const key = clayKey(word);
    const ofLine = all.filter((p) => lineKeys[p] === key);
    if (ofLine.length > 0) return ofLine;
    const ofClass = all.filter(
      (p) => clays[p].clayClass === key || clays[p].effect?.effect === key,
    );
    if (ofClass.length > 0) return ofClass;
    const own = known.indexOf.get(key);
    if (own !== undefined) return [own];
    const kinds: readonly string[] = [...CLAY_CLASSES, ...EFFECTS];
    if (kinds.includes(key)) return [];
    const spoken = [...knownLines(), ...kinds, ...names];
    throw groupUnknown(word, 'line, kind of clay or clay', spoken);
  }

  function knownLines(): readonly string[] {
    return [...new Set(lineOf)].filter((line) => line !== undefined);
  }

  function groupUnknown(word: string, what: string, names: readonly string[]): AppError {
    const [nearest] = nearestNames(word, names);
    const lines = knownLines();
    const hint = lines.length > 0 ? `The lines are ${lines.join(', ')}.` : hints.perhapsLine;
    return new AppError({
      code: 'group-unknown',
      kind: 'bad-input',
      detail: `No ${what} here is called "${word.slice(0, 80)}".`,
      hint: nearest === undefined ? hint : `Did you mean ${nearest}?`,
    });
  }

  function stockRules(): ShareRule[] {
    const { batchG } = words;
    if (batchG === undefined) return [];
    const batch = 'A batch size is given, but';
    if (frame.stock.length === 0) {
      throw contradiction(`${batch} there is no stock to take it from.`, hints.stock);
    }
    if (allowed.every((p) => rows.get(p)?.onHandG === undefined)) {
      throw contradiction(
        `${batch} the stock gives no grams for any clay that may be used.`,
        hints.grams,
      );
    }
    const weights = partWeights(rows, allowed, frame.basis);
    return allowed.flatMap((p) => {
      const grams = rows.get(p)?.onHandG;
      if (grams === undefined || grams >= batchG) return [];
      const share = grams / batchG;
      return [{ clays: [p], share, ...(weights === undefined ? {} : { weights }) }];
    });
  }
}

/** Rows of the stock by clay of the model, without clays the model does not know. */
export function stockByClay(
  { indexOf }: KnownClays,
  stock: readonly StockRow[],
): ReadonlyMap<number, StockRow> {
  const out = new Map<number, StockRow>();
  for (const row of stock) {
    const index = indexOf.get(clayKey(row.name));
    if (index !== undefined) out.set(index, row);
  }
  return out;
}

/**
 * Weight of one part of each of these clays, by index into the model; undefined where all weigh the
 * same: parts by weight, or by volume with an unknown density.
 */
export function partWeights(
  rows: ReadonlyMap<number, StockRow>,
  clays: readonly number[],
  basis: Basis,
): readonly number[] | undefined {
  if (basis === 'weight') return undefined;
  const weights: number[] = [];
  for (const p of clays) {
    const density = rows.get(p)?.density;
    if (density === undefined) return undefined;
    weights[p] = density;
  }
  return weights;
}

function linesUnknown(hint: string): AppError {
  return new AppError({
    code: 'lines-unknown',
    kind: 'bad-input',
    detail: 'A rule is about lines of clay, but the lines of the clays are not known.',
    hint,
  });
}
