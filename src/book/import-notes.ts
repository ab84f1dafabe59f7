import { AppError } from '../core/errors.ts';
import { type BlockRead, readShorthandBlock } from '../core/notation/shorthand-block.ts';
import type { VocabularyWords } from '../core/notation/shorthand-vocabulary.ts';
import { onOneLine, saveMixesSteps } from '../domain/changes/save-mixes.ts';
import { SETTINGS_ID } from '../domain/records/record.ts';
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

export type ReadNotes = (call: NotesToRead) => Promise<BlockRead>;

export interface NotesToRead {
  readonly text: string;
  readonly words: VocabularyWords;
  readonly basis?: 'volume' | 'weight';
}

export interface NotesImported {
  readonly read: BlockRead;
  /** Absent where it was only looked at. */
  readonly changed?: Changed;
}

/** Errors that one answer lists. */
const MOST_ERRORS = 1000;

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
  const { text, from, basis, check = false, newId, read: readNotes = readHere } = call;
  const { words, kindOf } = await wordsFrom(service);
  const read = await readNotes({ text, words, ...(basis === undefined ? {} : { basis }) });
  if (read.unreadable > 0) throw unreadableNotes(read, from);
  if (check || read.mixes === 0) return { read };
  const steps = saveMixesSteps(read.lines, kindOf, newId);
  const what =
    steps.length === 1
      ? `Saved ${onOneLine(read.lines.find(({ kind }) => kind === 'mix')?.raw ?? '')}`.slice(0, 300)
      : `Imported ${steps.length} mixes from ${from}`.slice(0, 300);
  return { read, changed: await service.change({ what, steps }) };
}

async function readHere({ text, words, basis }: NotesToRead): Promise<BlockRead> {
  return readShorthandBlock(text, words, basis === undefined ? {} : { basis });
}

function unreadableNotes(read: BlockRead, from: string): AppError {
  const errors = read.lines.flatMap((line) =>
    line.kind === 'errors' ? line.errors.map((error) => ({ line: line.line, ...error })) : [],
  );
  const [first] = errors;
  const all = read.unreadable === 1 ? '' : ` ${read.unreadable} lines of ${from} cannot be read.`;
  const more =
    errors.length > MOST_ERRORS ? `${all} The first ${MOST_ERRORS} errors are listed.` : all;
  return new AppError({
    code: 'shorthand-unreadable',
    kind: 'bad-input',
    detail: `${from}, line ${first.line}, column ${first.column}: ${first.message}${more}`,
    hint: 'Nothing was saved. Correct the lines, or add a short name with "kneadwell add short-name".',
    more: { errors: errors.slice(0, MOST_ERRORS) },
  });
}
