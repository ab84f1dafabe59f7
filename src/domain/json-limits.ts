/** What the body of a call may hold at most. Its bytes are limited before, by the route. */
export interface JsonLimits {
  /** Lists and objects inside one another. */
  readonly depth: number;
  /** Fields of one object. */
  readonly fields: number;
  /** Values in one list. */
  readonly items: number;
  /** Values in the whole body. */
  readonly values: number;
}

/** Several times what the largest change of a book needs: 5,000 steps of about 60 values. */
export const JSON_LIMITS: JsonLimits = {
  depth: 64,
  fields: 1000,
  items: 20_000,
  values: 1_000_000,
};

/** Whole books, from a program that can read the folder of the book anyway. */
export const FOLDER_JSON: JsonLimits = {
  ...JSON_LIMITS,
  items: Number.POSITIVE_INFINITY,
  values: Number.POSITIVE_INFINITY,
};

const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const COMMA = 0x2c;

/**
 * What a JSON text has too much of, in words to follow "The body has"; nothing where it keeps the limits.
 * Looked at before anything is parsed or checked, because a parser and a schema take many times longer
 * for a body that was made to be hard than for one of the same size that was not.
 * Shape:   any text; one that is no JSON may pass, and is then refused by the parser
 * Holds:   one pass over the text, stopped at the first limit; memory grows with the depth alone
 */
export function jsonProblem(text: string, limits: JsonLimits): string | undefined {
  /** Values of each open list or object; objects are marked. */
  const open: { readonly object: boolean; values: number }[] = [];
  let values = 1;
  let inside: { readonly object: boolean; values: number } | undefined;
  for (let at = 0; at < text.length; at++) {
    const letter = text.charCodeAt(at);
    if (letter === QUOTE) {
      at = endOfString(text, at);
      continue;
    }
    // [ and {, then ] and }: 0x5b, 0x7b, 0x5d, 0x7d
    const opens = letter === 0x5b || letter === 0x7b;
    if (opens) {
      if (open.length >= limits.depth) return `more than ${limits.depth} levels`;
      inside = { object: letter === 0x7b, values: 1 };
      open.push(inside);
    } else if (letter === 0x5d || letter === 0x7d) {
      open.pop();
      inside = open.at(-1);
    } else if (letter === COMMA && inside !== undefined) inside.values++;
    else continue;
    if (opens || letter === COMMA) values++;
    if (values > limits.values) return `more than ${limits.values} values`;
    if (inside === undefined) continue;
    const { object, values: here } = inside;
    if (object && here > limits.fields) return `an object of more than ${limits.fields} fields`;
    if (!object && here > limits.items) return `a list of more than ${limits.items} values`;
  }
  return undefined;
}

/** Place of the closing quote, or the end where there is none. */
function endOfString(text: string, start: number): number {
  let end = text.indexOf('"', start + 1);
  while (end > 0) {
    let slashes = 0;
    while (text.charCodeAt(end - 1 - slashes) === BACKSLASH) slashes++;
    if (slashes % 2 === 0) return end;
    end = text.indexOf('"', end + 1);
  }
  return text.length;
}
