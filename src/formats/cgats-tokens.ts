export interface Line {
  readonly line: number;
  /** Without comment and outer white space. */
  readonly text: string;
}

/** Lines with text in them, without comments. Tabs at the ends stay: they separate values. */
export function* linesOf(text: string): Generator<Line> {
  let line = 0;
  for (const whole of text.split(/\r\n|\n|\r/)) {
    line++;
    const content = whole.slice(0, commentStart(whole));
    if (content.trim() !== '') yield { line, text: content };
  }
}

/** Place of the `#` that begins a comment: outside quotes, and not inside a word. */
function commentStart(text: string): number {
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (c === '"') {
      if (quoted && text[i + 1] === '"') i++;
      else if (quoted) quoted = false;
      else if (i === 0 || isSpace(text, i - 1)) quoted = true;
    } else if (c === '#' && !quoted && (i === 0 || isSpace(text, i - 1))) {
      return i;
    }
  }
  return text.length;
}

function isSpace(text: string, at: number): boolean {
  return text[at] === ' ' || text[at] === '\t';
}

export function firstWord(content: string): [word: string, rest: string] {
  let end = 0;
  while (end < content.length && !isSpace(content, end)) end++;
  return [content.slice(0, end).toUpperCase(), content.slice(end).trim()];
}

/**
 * Values separated by white space; in quotes they may contain spaces, and a quote inside is doubled.
 * An open quote gives undefined in place of the value.
 */
export function tokensOf(text: string): (string | undefined)[] {
  const tokens: (string | undefined)[] = [];
  let at = 0;
  for (;;) {
    while (isSpace(text, at)) at++;
    if (at >= text.length) return tokens;
    if (text[at] !== '"') {
      const start = at;
      while (at < text.length && !isSpace(text, at)) at++;
      tokens.push(text.slice(start, at));
      continue;
    }
    let end = text.indexOf('"', at + 1);
    while (end >= 0 && text[end + 1] === '"') end = text.indexOf('"', end + 2);
    tokens.push(
      end < 0
        ? undefined
        : text
            .slice(at + 1, end)
            .replaceAll('""', '"')
            .trim(),
    );
    if (end < 0) return tokens;
    at = end + 1;
  }
}
