import { allRecords } from '../book/all-records.ts';
import type { Book } from '../book/book.ts';
import { bytesOf } from '../book/save-file.ts';
import { AppError } from '../core/errors.ts';
import { newestModelOf } from '../domain/newest-model.ts';
import { comparableClay, type OlderClay, olderClay } from '../verbs/changes-since.ts';
import { THE_BOOK } from './ask-clay.ts';
import type { Ports } from './ports.ts';

/** A model that an update replaces. */
interface ModelBefore {
  readonly bytes: Uint8Array;
  /** Absent where the two cannot be compared. */
  readonly clay?: OlderClay;
}

/** Where the clay file before the newest stays: clay.json -> clay.before.json. */
export function beforePath(out: string): string {
  const dot = out.lastIndexOf('.');
  const slash = Math.max(out.lastIndexOf('/'), out.lastIndexOf('\\'));
  return dot > slash + 1 ? `${out.slice(0, dot)}.before${out.slice(dot)}` : `${out}.before`;
}

/** The clay file that an update would replace, with its bytes; undefined where there is none. */
export async function modelBefore(
  { files }: Pick<Ports, 'files'>,
  out: string,
): Promise<ModelBefore | undefined> {
  if ((await files.look(out)).kind !== 'file') return undefined;
  const bytes = await files.read(out);
  return bytes.length === 0 ? undefined : { bytes, ...comparable(bytes, out) };
}

/** The newest clay model of a book, which an update replaces. */
export async function modelBeforeInBook(book: Book): Promise<ModelBefore | undefined> {
  const newest = newestModelOf(await allRecords(book.ports.store, 'clay-model'));
  if (newest === undefined) return undefined;
  const bytes = await bytesOf(book, newest);
  return { bytes, ...comparable(bytes, THE_BOOK) };
}

function comparable(bytes: Uint8Array, title: string): Pick<ModelBefore, 'clay'> {
  const clay = comparableClay(bytes, title);
  return clay === undefined ? {} : { clay };
}

/**
 * Puts the model before an update back in its place; the update takes the place of the one before, so that
 * the same call brings it back.
 * Refuses: no model before -> no-model-before (not-found)
 */
export async function restoreModelBefore(
  { files }: Pick<Ports, 'files'>,
  out: string,
): Promise<void> {
  const before = beforePath(out);
  if ((await files.look(before)).kind !== 'file' || (await files.look(out)).kind !== 'file') {
    throw new AppError({
      code: 'no-model-before',
      kind: 'not-found',
      detail: `There is no model before the one in ${out}.`,
      hint: `An update saves the old model as ${before}. Nothing was changed.`,
    });
  }
  const [older, newer] = [await files.read(before), await files.read(out)];
  olderClay(older, before);
  await files.write(out, older);
  await files.write(before, newer);
}
