import { numberFromRational } from '../numeric/rational.ts';
import { amountAt } from './amount.ts';
import { clayKey, withoutInvisible } from './clay-name.ts';

/** A recipe as somebody published it, in words of its own for clays. */
export interface PublishedRecipe {
  readonly name: string;
  readonly parts: readonly { readonly clay: string; readonly parts: number }[];
  /** 1 is the first line. */
  readonly line: number;
}

export interface PublishedFault {
  readonly line: number;
  readonly says: string;
}

/** Bounds of a text that is read. */
const LIMITS = { letters: 200_000, recipes: 1000, terms: 40, nameLetters: 80 } as const;

const NUMBER_WORDS: Readonly<Record<string, number>> = {
  half: 0.5,
  quarter: 0.25,
  a: 1,
  an: 1,
  one: 1,
  two: 2,
  three: 3,
  four: 4,
  five: 5,
  six: 6,
  seven: 7,
  eight: 8,
  nine: 9,
  ten: 10,
  eleven: 11,
  twelve: 12,
};
const UNITS =
  /^(?:equal\s+)?(?:parts?|pts?|pieces?|shares?|balls?|squares?|cubes?|units?|x|×)\b\.?\s*/i;
const ARTICLES = /^(?:of\s+)?(?:(?:the|a|an|some|your|my)\s+)?/i;
/** A weight or a block cannot be added to parts. */
const OTHER_UNITS =
  /^(?:g|grams?|oz|ounces?|ml|blocks?|packs?|packages?|teaspoons?|tsp|pinch(?:es)?|drops?)\b/i;
const BULLET = /^[\s*•·–-]+(?=\S)/;

/**
 * Recipes in the words of somebody else: "Moss: 2 parts of a warm yellow, 1 part dark blue and a part white".
 * Shape:   a recipe on a line, its name before a colon or an equals sign; or a name on a line and a term on
 *          each line below it -> recipes, and what could not be read
 * Holds:   nothing is guessed: a term without an amount, or in grams or blocks, is a fault of its line
 */
export function readPublished(text: string): {
  readonly recipes: readonly PublishedRecipe[];
  readonly faults: readonly PublishedFault[];
} {
  if (text.length > LIMITS.letters) {
    return {
      recipes: [],
      faults: [{ line: 1, says: `The text is longer than ${LIMITS.letters} letters.` }],
    };
  }
  const recipes: PublishedRecipe[] = [];
  const faults: PublishedFault[] = [];
  let open: { name: string; parts: { clay: string; parts: number }[]; line: number } | undefined;
  const close = () => {
    if (open === undefined) return;
    if (open.parts.length > 0) recipes.push({ ...open, parts: addedUp(open.parts) });
    else faults.push({ line: open.line, says: `"${shown(open.name)}" has no parts below it.` });
    open = undefined;
  };
  text.split(/\r\n|\n|\r/).forEach((raw, at) => {
    const line = at + 1;
    const words = withoutInvisible(raw).normalize('NFC').trim();
    if (words === '') {
      close();
      return;
    }
    const plain = words.replace(BULLET, '');
    const [, before, after] = /^([^:=]{1,200})[:=]\s*(.*)$/u.exec(plain) ?? [];
    const wholeName =
      before !== undefined && term(before) === undefined ? before.trim() : undefined;
    const rest = wholeName === undefined ? plain : (after ?? '').trim();
    const pieces = rest === '' ? [] : termsOf(rest);
    const terms = pieces.map((piece) => ({ piece, read: term(piece) }));
    const bad = terms.find(({ read }) => read === undefined);
    if (wholeName !== undefined) {
      close();
      if (pieces.length === 0) open = { name: wholeName, parts: [], line };
      else if (bad !== undefined) faults.push({ line, says: whyNot(bad.piece) });
      else recipes.push({ name: wholeName, parts: addedUp(terms.map(({ read }) => read!)), line });
      return;
    }
    if (bad === undefined && open !== undefined) {
      open.parts.push(...terms.map(({ read }) => read!));
      return;
    }
    close();
    if (bad === undefined) {
      recipes.push({
        name: plain.slice(0, LIMITS.nameLetters),
        parts: addedUp(terms.map(({ read }) => read!)),
        line,
      });
    } else if (pieces.length === 1 && !/\d/.test(plain)) open = { name: plain, parts: [], line };
    else faults.push({ line, says: whyNot(bad.piece) });
  });
  close();
  if (recipes.length > LIMITS.recipes) {
    return {
      recipes: [],
      faults: [{ line: 1, says: `More than ${LIMITS.recipes} recipes at once.` }],
    };
  }
  for (const { line, parts } of recipes) {
    if (parts.length > LIMITS.terms)
      faults.push({ line, says: `More than ${LIMITS.terms} clays in one mix.` });
  }
  return { recipes, faults };
}

/** Terms between plus signs, commas, semicolons and "and"; a decimal comma divides nothing. */
function termsOf(text: string): string[] {
  return text
    .split(/\s*(?:\+|;|&|,(?!\d)|\band\b|\bplus\b|\bwith\b)\s*/i)
    .map((piece) => piece.replace(/[.\s]+$/, '').trim())
    .filter((piece) => piece !== '');
}

/** "2 parts of a warm yellow", "warm yellow x 2", "warm yellow (2 parts)". */
function term(piece: string): { readonly clay: string; readonly parts: number } | undefined {
  const first = amountFirst(piece);
  if (first !== undefined) return first;
  const [, name, count] =
    /^(.+?)\s*(?:[x×]\s*|\(|\s)((?:\d|[¼-¾⅐-⅞])[\d./,\s¼-¾⅐-⅞]*?)\s*(?:parts?|pts?|pieces?)?\)?$/iu.exec(
      piece,
    ) ?? [];
  if (name === undefined || count === undefined) return undefined;
  const amount = amountAt(count, 0);
  if (amount === undefined || amount.problem !== undefined || amount.percent) return undefined;
  return named(name, numberFromRational(amount.value));
}

function amountFirst(piece: string): { readonly clay: string; readonly parts: number } | undefined {
  const amount = amountAt(piece, 0);
  if (amount !== undefined && amount.problem === undefined) {
    const rest = piece.slice(amount.length).trim();
    if (OTHER_UNITS.test(rest)) return undefined;
    return named(rest.replace(UNITS, '').replace(ARTICLES, ''), numberFromRational(amount.value));
  }
  const [, word, rest] = /^([a-z]+)\s+(.+)$/i.exec(piece) ?? [];
  const count = word === undefined ? undefined : NUMBER_WORDS[word.toLowerCase()];
  if (count === undefined || rest === undefined || OTHER_UNITS.test(rest)) return undefined;
  // "a warm yellow" names a clay and no amount; "a part warm yellow" has one.
  if (!UNITS.test(rest) && /^an?$/i.test(word!)) return undefined;
  return named(rest.replace(UNITS, '').replace(ARTICLES, ''), count);
}

function named(name: string, parts: number) {
  const clay = name.trim();
  if (clay === '' || clay.length > LIMITS.nameLetters || !(parts > 0) || !/\p{L}/u.test(clay)) {
    return undefined;
  }
  return { clay, parts };
}

function addedUp(parts: readonly { readonly clay: string; readonly parts: number }[]) {
  const sums = new Map<string, { clay: string; parts: number }>();
  for (const { clay, parts: count } of parts) {
    const known = sums.get(clayKey(clay));
    if (known === undefined) sums.set(clayKey(clay), { clay, parts: count });
    else known.parts += count;
  }
  return [...sums.values()];
}

function whyNot(piece: string): string {
  const amount = amountAt(piece, 0);
  const rest = amount === undefined ? piece : piece.slice(amount.length).trim();
  if (OTHER_UNITS.test(rest)) {
    return `"${shown(piece)}" is no number of parts. Turn it into parts first.`;
  }
  return `"${shown(piece)}" does not say how many parts. Write it as "2 parts yellow".`;
}

function shown(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}...` : text;
}
