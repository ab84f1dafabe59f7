import { unreadable } from './unreadable-file.ts';

/** Limits of a list of tiles; they bound the time that a damaged file can take. */
export const FILE_LIMITS = {
  bytes: 16 * 1024 * 1024,
  rows: 20_000,
  columns: 500,
  cellCharacters: 10_000,
} as const;

/** How files that are not text begin, with their names and what to do. */
const NOT_TEXT: readonly (readonly [readonly number[], string, string])[] = [
  [
    [0x50, 0x4b, 0x03, 0x04],
    'a workbook or an archive',
    'Save the sheet of a workbook as CSV UTF-8. Bring back a backup of the book with "kneadwell restore".',
  ],
  [[0xd0, 0xcf, 0x11, 0xe0], 'a workbook', 'Open the workbook and save the sheet as CSV UTF-8.'],
  [
    [0x25, 0x50, 0x44, 0x46],
    'a PDF',
    'Copy the table into a spreadsheet and save that as CSV UTF-8.',
  ],
  [[0xff, 0xd8, 0xff], 'a picture', 'Give the file with the readings instead.'],
  [[0x89, 0x50, 0x4e, 0x47], 'a picture', 'Give the file with the readings instead.'],
  [[0x1f, 0x8b], 'a compressed file', 'Unpack the file first.'],
  [[0xff, 0xfe, 0x00, 0x00], 'text in UTF-32', 'Save the file as CSV UTF-8.'],
  [[0x00, 0x00, 0xfe, 0xff], 'text in UTF-32', 'Save the file as CSV UTF-8.'],
];

/**
 * The text of a file, for every reader: UTF-8 with or without a byte-order mark, or UTF-16 of either order.
 * Refuses: more than `mostBytes`, an empty file, other kinds of file, bytes that are not text, one-byte
 *          encodings (letters past ASCII would be a guess) -> file-unreadable
 */
export function textFromBytes(
  bytes: Uint8Array,
  file: string,
  mostBytes: number = FILE_LIMITS.bytes,
): string {
  const expected = 'a text file (CSV or CGATS)';
  if (bytes.length > mostBytes) {
    throw unreadable({
      file,
      saw: `${bytes.length} bytes`,
      expected: `at most ${mostBytes}`,
      hint: 'Split the file into smaller ones.',
    });
  }
  for (const [start, saw, hint] of NOT_TEXT) {
    if (start.every((byte, i) => bytes[i] === byte)) {
      throw unreadable({ file, saw, expected, hint });
    }
  }
  const wide = utf16Order(bytes);
  const text = wide === undefined ? fromUtf8(bytes, file) : fromUtf16(bytes, wide, file);
  if (text.trim() === '') {
    throw unreadable({
      file,
      saw: 'an empty file',
      expected,
      hint: 'Check that the file was saved completely.',
    });
  }
  const nul = text.indexOf('\0');
  if (nul >= 0) {
    const line = lineAt(text, nul);
    throw unreadable({
      file,
      line,
      saw: 'a character that is not text',
      expected,
      hint: 'Save the file again as CSV UTF-8.',
    });
  }
  return text;
}

/** From the byte-order mark or, without one, because every other byte of Latin text is 0. */
function utf16Order(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  const sample = Math.min(bytes.length, 400) & ~1;
  if (sample < 4) return undefined;
  let even = 0;
  let odd = 0;
  for (let i = 0; i < sample; i += 2) {
    if (bytes[i] === 0) even++;
    if (bytes[i + 1] === 0) odd++;
  }
  const most = 0.8 * (sample / 2);
  if (odd > most && even === 0) return 'utf-16le';
  return even > most && odd === 0 ? 'utf-16be' : undefined;
}

function fromUtf16(bytes: Uint8Array, order: 'utf-16le' | 'utf-16be', file: string): string {
  try {
    return new TextDecoder(order, { fatal: true }).decode(bytes);
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    throw unreadable({
      file,
      saw: 'UTF-16 text that breaks off',
      expected: 'whole letters',
      hint: 'Save the file again as CSV UTF-8.',
    });
  }
}

function fromUtf8(bytes: Uint8Array, file: string): string {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  try {
    return decoder.decode(bytes);
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
  }
  // In UTF-8 a line feed is never part of a longer letter, so lines can be tried one by one.
  let line = 1;
  for (let start = 0; start < bytes.length; line++) {
    const feed = bytes.indexOf(0x0a, start);
    const end = feed < 0 ? bytes.length : feed;
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(start, end));
    } catch (cause) {
      if (!(cause instanceof TypeError)) throw cause;
      break;
    }
    start = end + 1;
  }
  throw unreadable({
    file,
    line,
    saw: 'letters that are not UTF-8',
    expected: 'a text file in UTF-8',
    hint: 'In your spreadsheet or editor choose "Save as", then CSV UTF-8.',
  });
}

/** Line of a position: CR LF, LF and CR each end a line. */
function lineAt(text: string, position: number): number {
  return text.slice(0, position).split(/\r\n|\n|\r/).length;
}
