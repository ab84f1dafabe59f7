import { AppError } from '../core/errors.ts';
import { type MixLine, readShorthandBlock } from '../core/notation/shorthand-block.ts';
import type { ShorthandError } from '../core/notation/shorthand-terms.ts';
import type { VocabularyWords } from '../core/notation/shorthand-vocabulary.ts';
import { onOneLine, saveMixesSteps } from '../domain/changes/save-mixes.ts';
import { SETTINGS_ID } from '../domain/records/settings-id.ts';
import { type BookWords, wordsOfBook } from '../domain/words-of-book.ts';
import type { Changed } from './book.ts';
import { allAt, type BookService } from './book-service.ts';

export interface ShorthandCall {
  /** Lines of an old book, or rows pasted from a sheet with their headings. */
  readonly text: string;
  /** What the page is called in messages. */
  readonly from: string;
  readonly basis?: 'volume' | 'weight';
  /** Only look, keep nothing. */
  readonly check?: boolean;
  readonly newId: () => string;
  /** Reads the notes; on another thread in the server. Here when absent. */
  readonly read?: ReadNotes;
}

export type ReadNotes = (call: NotesToRead) => Promise<NotesRead>;

export interface NotesToRead {
  readonly text: string;
  readonly words: VocabularyWords;
  readonly basis?: 'volume' | 'weight';
}

/** What goes from thread to thread: the mixes, or what is wrong, never every line. */
export interface NotesRead {
  /** None where a line cannot be read. */
  readonly mixes: readonly MixLine[];
  /** How many lines cannot be read. */
  readonly unreadable: number;
  /** The first MOST_LISTED of them, each with its line. */
  readonly errors: readonly NoteError[];
}

interface NoteError extends ShorthandError {
  readonly line: number;
}

export interface NotesImported {
  readonly mixes: number;
  /** What was assumed of a line, for the first MOST_LISTED lines of which something was. */
  readonly assumed: readonly { readonly line: number; readonly note: string }[];
  /** Absent where it was only looked at. */
  readonly changed?: Changed;
}

/** Errors, or notes, that one answer lists. */
const MOST_LISTED = 1000;

/** The words of a book that is reached through a service. */
export async function wordsFrom(book: Pick<BookService, 'get' | 'list'>): Promise<BookWords> {
  const settings = await book.get(SETTINGS_ID);
  const mixes = await allAt(book, 'mix');
  return wordsOfBook({
    blocks: await allAt(book, 'block'),
    lines: new Map((await allAt(book, 'line')).map((line) => [line.id, line])),
    mixes: mixes.map(({ id, body: { code, name } }) => ({
      id,
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
    })),
    powders: await allAt(book, 'powder'),
    shortNames: (settings?.kind === 'settings' ? settings.body.shortNames : undefined) ?? [],
  });
}

/**
 * Keeps a page of an old paper book: every line a mix, all of them or none.
 * Refuses: lines that cannot be read -> shorthand-unreadable (bad-input), all at once with their places
 *          in `more`; what `changeBook` refuses
 */
export async function importNotes(
  service: BookService,
  call: ShorthandCall,
): Promise<NotesImported> {
  const {
    text,
    from,
    basis,
    check = false,
    newId,
    read: readNotes = async (notes) => notesRead(notes),
  } = call;
  const { words, kindOf } = await wordsFrom(service);
  const read = await readNotes({ text, words, ...(basis === undefined ? {} : { basis }) });
  if (read.unreadable > 0) throw unreadableNotes(read, from);
  const { mixes } = read;
  const assumed = mixes
    .flatMap(({ line, notes }) => notes.map((note) => ({ line, note })))
    .slice(0, MOST_LISTED);
  if (check || mixes.length === 0) return { mixes: mixes.length, assumed };
  const steps = saveMixesSteps(mixes, kindOf, newId);
  const what =
    steps.length === 1
      ? `Saved ${onOneLine(mixes[0].raw)}`.slice(0, 300)
      : `Imported ${steps.length} mixes from ${from}`.slice(0, 300);
  return { mixes: mixes.length, assumed, changed: await service.change({ what, steps }) };
}

/** Reads notes, on any thread. */
export function notesRead({ text, words, basis }: NotesToRead): NotesRead {
  const { lines, unreadable } = readShorthandBlock(
    text,
    words,
    basis === undefined ? {} : { basis },
  );
  const errors: NoteError[] = [];
  const mixes: MixLine[] = [];
  for (const line of lines) {
    if (line.kind === 'mix') mixes.push(line);
    if (line.kind !== 'errors') continue;
    for (const error of line.errors.slice(0, MOST_LISTED - errors.length)) {
      errors.push({ line: line.line, ...error });
    }
  }
  return { mixes: unreadable > 0 ? [] : mixes, unreadable, errors };
}

const LINES_HINT = 'Correct the lines, or add a short name with "kneadwell add short-name".';
/** For a table whose columns are not known, so that it was read as recipes. */
const TABLE_HINT =
  'If this is a table of readings, its first line must name the columns: tile, of, L, a, b. If it has recipes, correct the lines.';

function unreadableNotes({ unreadable, errors }: NotesRead, from: string): AppError {
  const [first] = errors;
  const all = unreadable === 1 ? '' : ` ${unreadable} lines of ${from} cannot be read.`;
  const more =
    errors.length < MOST_LISTED ? all : `${all} The first ${MOST_LISTED} errors are listed.`;
  return new AppError({
    code: 'shorthand-unreadable',
    kind: 'bad-input',
    detail: `${from}, line ${first.line}, column ${first.column}: ${first.message}${more}`,
    hint: `Nothing was saved. ${/\.[ct]sv$/i.test(from) ? TABLE_HINT : LINES_HINT}`,
    more: { errors },
  });
}
