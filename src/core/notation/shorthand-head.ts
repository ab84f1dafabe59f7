/** What comes before the parts: a code, a name, both or neither. */
export interface ShorthandHead {
  readonly code?: string;
  readonly name?: string;
}

/**
 * Code and name from the text before the parts. A code is the first word if it has a digit in it, or the
 * text in square brackets at the start; the rest is the name, in quotes where it would be read as something
 * else.
 * Holds: readHead(writeHead(x)) = x for every code and name that `trimmed` does not change
 */
export function readHead(text: string): ShorthandHead {
  const plain = trimmed(text);
  const bracketed = /^\[((?:[^\]]|\]\])*)\](?!\])/.exec(plain);
  if (bracketed !== null) {
    const code = trimmed(bracketed[1].replaceAll(']]', ']'));
    return headOf(code, plain.slice(bracketed[0].length));
  }
  const first = /^[^\s"]\S*/.exec(plain)?.[0] ?? '';
  if (/\p{N}/u.test(first) && !first.includes('"')) return headOf(first, plain.slice(first.length));
  return headOf('', plain);
}

/** Code and name as `readHead` reads them back: plain where possible, else in brackets and quotes. */
export function writeHead(head: ShorthandHead): string {
  const { code = '', name = '' } = head;
  const bracketed = `[${code.replaceAll(']', ']]')}]`;
  const quoted = `"${name.replaceAll('"', '""')}"`;
  for (const [c, n] of [
    [code, name],
    [code, quoted],
    [bracketed, name],
  ]) {
    const text = `${c} ${n}`.trim();
    if (/[:="#[\]]|\/\/|\s\p{N}|(?:^|[\s\p{N},;])\?/u.test(text.replace(quoted, ''))) continue;
    const back = readHead(text);
    if (back.code === head.code && back.name === head.name) return text;
  }
  return [code === '' ? '' : bracketed, name === '' ? '' : quoted].join(' ').trim();
}

/** Without outer and doubled white space. */
export function trimmed(text: string): string {
  return text.trim().replace(/\s+/gu, ' ');
}

function headOf(code: string, rest: string): ShorthandHead {
  const plain = trimmed(rest);
  const quoted = /^"((?:[^"]|"")*)"$/.exec(plain);
  const name = quoted === null ? plain : quoted[1].replaceAll('""', '"');
  return { ...(code === '' ? {} : { code }), ...(name === '' ? {} : { name }) };
}
