import { describe, expect, it } from 'vitest';
import { FILE_LIMITS, textFromBytes } from './text-file.ts';

const utf16be = (text: string) => new Uint8Array(Buffer.from(text, 'utf16le').swap16());
const utf16le = (text: string) => new Uint8Array(Buffer.from(text, 'utf16le'));
const utf8 = (text: string) => new Uint8Array(Buffer.from(text, 'utf8'));
const of = (bytes: Uint8Array) => textFromBytes(bytes, 'tiles.csv');
const text = 'tile,of\r\nLimpet,K\u00e9lp\r\n';

describe('the text of a file', () => {
  it.each([
    ['UTF-8', utf8(text)],
    ['UTF-8 with a byte-order mark', utf8(`\ufeff${text}`)],
    ['UTF-16 LE with a byte-order mark', utf16le(`\ufeff${text}`)],
    ['UTF-16 BE with a byte-order mark', utf16be(`\ufeff${text}`)],
    ['UTF-16 LE', utf16le(text)],
    ['UTF-16 BE', utf16be(text)],
  ])('is read from %s', (_name, bytes) => {
    expect(of(bytes)).toBe(text);
  });

  it.each<[string, Uint8Array, string]>([
    ['nothing', new Uint8Array(), 'found an empty file'],
    ['spaces', utf8(' \r\n\t\n'), 'found an empty file'],
    ['a byte-order mark alone', utf8('\ufeff'), 'found an empty file'],
    [
      'one byte a letter',
      new Uint8Array(Buffer.from('a\nb\nK\u00e9lp\n', 'latin1')),
      'line 3: found letters that are not UTF-8',
    ],
    [
      'half a letter',
      utf8('tile,of\nLimpet,K\u00e9').slice(0, 17),
      'line 2: found letters that are not UTF-8',
    ],
    [
      'half a wide letter',
      utf16le(`\ufeff${text}`).slice(0, 21),
      'found UTF-16 text that breaks off',
    ],
    ['a zero byte', utf8('tile,of\nLim\0pet,Kelp\n'), 'line 2: found a character that is not text'],
    ['a workbook', utf8('PK\u0003\u0004...'), 'found a workbook'],
    ['a PDF', utf8('%PDF-1.7'), 'found a PDF'],
    ['a picture', new Uint8Array([0xff, 0xd8, 0xff, 0xe0]), 'found a picture'],
    ['too much', new Uint8Array(FILE_LIMITS.bytes + 1), `found ${FILE_LIMITS.bytes + 1} bytes`],
  ])('is refused from %s', (_name, bytes, message) => {
    expect(() => of(bytes)).toThrow(
      `tiles.csv${message.startsWith('line') ? ', ' : ': '}${message}`,
    );
  });
});
