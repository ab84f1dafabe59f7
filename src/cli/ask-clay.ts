import type { z } from 'zod';
import { allRecords } from '../book/all-records.ts';
import type { Book } from '../book/book.ts';
import { askedOfModel, type QuestionInWords } from '../book/jobs/model-terms.ts';
import { bytesOf } from '../book/save-file.ts';
import { AppError } from '../core/errors.ts';
import { newestModelOf } from '../domain/newest-model.ts';
import type { RecordOf } from '../domain/records/record.ts';
import { type OpenClay, openClay } from '../verbs/open-clay.ts';
import { type Answered, asked, type Verb } from '../verbs/verb.ts';
import type { ClayVerbName } from '../verbs/verbs.ts';
import type { Call } from './command-parts.ts';
import type { OnBook } from './question-command.ts';
import type { CliShell } from './shell.ts';

/** Stands for the book where a file would be named; hints repeat it, and then it is a call that works. */
export const THE_BOOK = '--book';

export interface ClayAnswer<A> extends Answered<A> {
  readonly clay: OpenClay;
  /** What the clays are called in the answer. */
  readonly title: string;
}

/**
 * Asks the clays of a file, or with `--book` the newest clay model of a book, in the words of the book.
 * Refuses: no book, no clay model yet -> no-book, no-clay-model; as reading a file and the verb do
 */
export async function askClay<Q extends z.ZodObject, A>(
  verb: Verb<ClayVerbName, OpenClay, Q, A>,
  { options, operands }: Call<OnBook<z.output<Q>>>,
  { ports, book }: Pick<CliShell, 'ports' | 'book'>,
): Promise<ClayAnswer<A>> {
  const { question } = options;
  if (!options.book) {
    const [title = ''] = operands;
    const clay = openClay(await ports.files.read(title), title);
    return { ...(await asked(verb.run(clay, question), ports)), clay, title };
  }
  const { books } = await book();
  const folder = books.folderOf(options.folder);
  const { bytes, inTerms } = await books.lookAt(folder, async (at) => {
    const model = await newestModel(at, folder);
    const bytes = await bytesOf(at, model);
    const words: QuestionInWords = question;
    return { bytes, inTerms: await askedOfModel(at, model, verb.name, words) };
  });
  const clay = openClay(bytes, THE_BOOK);
  return { ...(await asked(verb.ask(clay, inTerms), ports)), clay, title: THE_BOOK };
}

async function newestModel(book: Book, folder: string): Promise<RecordOf<'clay-model'>> {
  const newest = newestModelOf(await allRecords(book.ports.store, 'clay-model'));
  if (newest !== undefined) return newest;
  throw new AppError({
    code: 'no-clay-model',
    kind: 'not-found',
    detail: `The book in ${folder} has no clay model yet.`,
    hint: 'Learn one from its readings with "kneadwell learn --book".',
  });
}

/** Why words are not one clay file, or with `--book` none. */
export function oneClay(operands: readonly string[], book: boolean): string | undefined {
  const wanted = book ? 0 : 1;
  if (operands.length === wanted) return undefined;
  const names = operands.join(', ').slice(0, 80);
  if (book) return `With --book no clay file is named, and there was: ${names}.`;
  return operands.length === 0
    ? 'Which clay file? Name the one that "kneadwell learn" wrote.'
    : `One clay file is read at a time, and ${operands.length} names were given: ${names}.`;
}
