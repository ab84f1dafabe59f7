import { numberFromRational, type Rational, rational } from '../numeric/rational.ts';
import { amountAt, partsFrom, percentSum } from './amount.ts';
import { OTHER_JOIN, tidyName, UNIT, UNREADABLE } from './clay-name.ts';
import { recipeError } from './recipe-error.ts';
import { RECIPE_LIMITS, type Recipe, type RecipeTerm } from './terms.ts';

export const EXAMPLE = 'Write it like 5 Kelp + 2 Foam.';
/** 1e-3, as programs print small numbers. */
const EXPONENT = /(?:\d+(?:[.,]\d+)?|[.,]\d+)[eE][+-]?\d{1,3}(?![^\s("×*])/y;
const TIMES = /(?:\s*[×*]|\s*[xX](?=["(\s])|\s+parts?(?:\s+of)?(?=\s))\s*(?=[^\s+)])/y;
// A name that starts with one of these needs quotes: a number is an amount, the rest a typing error or a
// formula.
const UNQUOTED_START = /[\p{N}\p{Sm}"'“”„«»%.,;:@/\\*\-–—)]/uy;

interface Term extends RecipeTerm {
  /** The amount as written, exactly; absent for the clays of a mix in brackets. */
  readonly exact?: Rational;
}

interface Amount {
  readonly parts: number;
  /** Absent for an amount with an exponent. */
  readonly exact?: Rational;
  readonly percent: boolean;
  readonly at: number;
}

/** Reads one recipe from left to right; positions in messages count from 1. */
export class RecipeReader {
  private at = 0;
  private readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  whole(): Recipe {
    const terms = this.mix(0);
    if (this.at < this.text.length) this.stop('a plus or the end', 'Put a "(" before it.');
    const exact = terms.flatMap((term) => term.exact ?? []);
    const { parts, counted } = partsFrom(exact);
    // With thirds all clays are counted out in whole parts, unless that makes numbers nobody counts.
    const whole =
      counted &&
      exact.length === terms.length &&
      parts.every((count) => count <= RECIPE_LIMITS.mostParts);
    return terms.map((term, i) => ({ clay: term.clay, parts: whole ? parts[i] : term.parts }));
  }

  private mix(depth: number): Term[] {
    if (depth > RECIPE_LIMITS.depth) this.stop('fewer mixes inside mixes', EXAMPLE);
    const terms: Term[] = [];
    const amounts: Amount[] = [];
    do {
      this.space();
      const amount = this.amount();
      amounts.push(amount);
      for (const term of this.term(amount, depth)) terms.push(term);
      if (terms.length > RECIPE_LIMITS.terms) {
        this.stop(`at most ${RECIPE_LIMITS.terms} clays`, EXAMPLE);
      }
    } while (this.take('+'));
    this.checkPercent(amounts);
    return terms;
  }

  /** Per cent of every clay of a mix or of none, and about 100 together. */
  private checkPercent(amounts: readonly Amount[]): void {
    const first = amounts.find(({ percent }) => percent);
    if (first === undefined) return;
    const other = amounts.find(({ percent }) => !percent);
    if (other !== undefined) {
      this.stop(
        'per cent, as in the rest of the mix',
        'Write all amounts in per cent, or none.',
        other.at,
      );
    }
    const sum = percentSum(amounts.flatMap(({ exact }) => exact ?? []));
    if (sum === undefined) return;
    this.stop(
      `amounts that add up to 100 %, and they add up to ${sum}`,
      'Write what is missing, or leave the per cent signs out to count in parts.',
      first.at,
    );
  }

  private term({ parts, exact, at }: Amount, depth: number): Term[] {
    if (this.take('(')) {
      const inner = this.mix(depth + 1);
      if (!this.take(')')) this.stop('a closing bracket', 'Close every bracket you open.');
      this.space();
      if (this.at < this.text.length && !/[+)]/.test(this.text[this.at])) {
        this.stop('a plus or the end', EXAMPLE);
      }
      const total = inner.reduce((sum, t) => sum + t.parts, 0);
      return inner.map((t) => ({
        clay: t.clay,
        parts: this.inRange((parts * t.parts) / total, at),
      }));
    }
    return [
      {
        clay: this.name(),
        parts: this.inRange(parts, at),
        ...(exact === undefined ? {} : { exact }),
      },
    ];
  }

  private amount(): Amount {
    const at = this.at;
    const exponent = this.match(EXPONENT);
    const read = exponent === undefined ? amountAt(this.text, at) : undefined;
    if (exponent === undefined && read === undefined) {
      return { parts: 1, exact: rational(1n), percent: false, at };
    }
    this.at += read?.length ?? 0;
    const endsInDigit = /\d/.test(this.text[this.at - 1]);
    const next = this.text[this.at] ?? '';
    const marked = this.match(TIMES) !== undefined;
    if (!marked && /[.,]/.test(next)) this.stop('one plain number', 'Write 1234.5 for 1,234.5.');
    if (read?.problem !== undefined) this.stop(read.problem.expected, read.problem.hint, at);
    this.space();
    if (this.at >= this.text.length || this.text[this.at] === '+') {
      this.stop('the name of a clay after the amount', EXAMPLE);
    }
    const unitAt = this.at;
    if (this.match(UNIT) !== undefined) {
      this.stop(
        'a clay',
        'Leave the unit out: amounts are parts, and the basis says volume or weight.',
        unitAt,
      );
    }
    if (!marked && endsInDigit && next !== '' && !/[\s("]/.test(next)) {
      this.stop(
        'a space after the amount',
        'Write 3 Kelp, or "3Kelp" in quotes if that is a name.',
      );
    }
    if (read === undefined) {
      return { parts: Number(exponent?.replace(',', '.')), percent: false, at };
    }
    return { parts: numberFromRational(read.value), exact: read.value, percent: read.percent, at };
  }

  private name(): string {
    const start = this.at;
    if (this.at >= this.text.length) this.stop('the name of a clay', EXAMPLE);
    const raw = this.text[this.at] === '"' ? this.quoted() : this.plain();
    const name = tidyName(raw);
    if (name === '') this.stop('the name of a clay', EXAMPLE, start);
    if (name.length > RECIPE_LIMITS.nameCharacters) {
      this.stop(`a name of at most ${RECIPE_LIMITS.nameCharacters} characters`, EXAMPLE, start);
    }
    if (UNREADABLE.test(name)) this.stop('a name in plain letters', 'Type the name again.', start);
    return name;
  }

  private quoted(): string {
    const start = this.at++;
    let name = '';
    for (;;) {
      const end = this.text.indexOf('"', this.at);
      if (end < 0) this.stop('a closing quote', 'Close the quote.', start);
      name += this.text.slice(this.at, end);
      this.at = end + 1;
      if (this.text[this.at] !== '"') break;
      name += '"';
      this.at++;
    }
    this.space();
    if (this.at < this.text.length && !/[+)]/.test(this.text[this.at])) {
      this.stop('a plus or the end', EXAMPLE);
    }
    return name;
  }

  private plain(): string {
    const start = this.at;
    if (this.matches(UNQUOTED_START) || this.text[this.at] === '+') {
      this.stop('the name of a clay', `${EXAMPLE} A name that starts so goes in quotes.`);
    }
    let depth = 0;
    for (; this.at < this.text.length; this.at++) {
      const c = this.text[this.at];
      if (c === '(') depth++;
      else if (c === ')' && --depth < 0) break;
      else if (c === '"') this.stop('quotes around the whole name', 'Write 2 "Kelp + Foam".');
      else if (c === '+' && depth === 0) break;
      else if (c === '+') {
        this.stop('a name without a plus', 'Put a name with a plus in quotes: 2 "Kelp (a + b)".');
      }
    }
    if (depth > 0) this.stop('a closing bracket', 'Close every bracket you open.');
    const name = this.text.slice(start, this.at);
    const join = OTHER_JOIN.exec(name);
    if (join !== null) {
      this.stop(
        'a plus between clays',
        `${EXAMPLE} If it is all one name, put it in quotes.`,
        start + join.index,
      );
    }
    return name;
  }

  private inRange(parts: number, start: number): number {
    const { fewestParts, mostParts } = RECIPE_LIMITS;
    if (parts >= fewestParts && parts <= mostParts) return parts;
    this.stop(
      `parts between ${fewestParts} and ${mostParts}`,
      'Leave out what is not in it.',
      start,
    );
  }

  private space(): void {
    while (this.at < this.text.length && /\s/u.test(this.text[this.at])) this.at++;
  }

  private take(c: string): boolean {
    this.space();
    if (this.text[this.at] !== c) return false;
    this.at++;
    return true;
  }

  private matches(pattern: RegExp): boolean {
    pattern.lastIndex = this.at;
    return pattern.test(this.text);
  }

  private match(pattern: RegExp): string | undefined {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text)?.[0];
    if (found !== undefined) this.at += found.length;
    return found;
  }

  private stop(expected: string, hint: string, at = this.at): never {
    throw recipeError(this.text, at, expected, hint);
  }
}
