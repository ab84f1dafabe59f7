import type { JobCall } from '../../api/job-routes.ts';
import type { ImportKind } from '../../domain/import-kinds.ts';
import type { Reading } from '../../domain/records/reading.ts';
import type { BookRecord } from '../../domain/records/record.ts';
import { shareOfPublished } from '../../domain/share/published.ts';
import type { ShareFile } from '../../domain/share/share-file.ts';
import type { Book } from '../book.ts';
import { bookServiceOf } from '../book-service.ts';
import { changeBook } from '../change-book.ts';
import { importNotes, type ReadNotes } from '../import-notes.ts';
import { importReadings } from '../import-readings.ts';
import { importRecords, lookAtRecords } from '../import-records.ts';
import { lookAtShare, takeShare } from '../share/take-share.ts';
import type { JobRunner, JobTools } from './job-queue.ts';

type ImportCall = Extract<JobCall, { do: 'import' }>;

/** Reads a file on another thread. Refuses: as the reader of its kind does */
export interface ReadElsewhere {
  /** What is in the file, where the call does not say so. */
  kindOf(call: ImportCall): ImportKind;
  readings(call: ImportCall, tools: JobTools): Promise<readonly Reading[]>;
  records(call: ImportCall, tools: JobTools): Promise<readonly BookRecord[]>;
  share(call: ImportCall, tools: JobTools): Promise<ShareFile>;
  notes(notes: Parameters<ReadNotes>[0], tools: JobTools): ReturnType<ReadNotes>;
}

/**
 * Takes a file into the book: all of it, or nothing.
 * Holds:   done again after the program stopped in the middle, it keeps nothing twice: a page of shorthand
 *          goes in as one change under the job's own key, readings and records are known again by what
 *          they say
 */
export function importJob(book: Book, read: ReadElsewhere): JobRunner<'import'> {
  const { newId } = book.ports;
  return async (call, tools) => {
    const { by, jobId } = tools;
    const who = by === undefined ? {} : { by };
    tools.progress({ what: `reading ${call.fileName}` });
    const as = call.as ?? read.kindOf(call);
    if (as === 'readings') {
      const readings = await read.readings(call, tools);
      if (call.check === true) return { as, readings: readings.length };
      const service = {
        ...bookServiceOf(book),
        change: (change: Parameters<typeof changeBook>[1]) =>
          changeBook(book, { ...withoutSender(change), ...who }),
      };
      const line = call.newLine === undefined ? {} : { newLine: call.newLine };
      return { as, ...(await importReadings(service, { readings, newId, ...line })) };
    }
    if (as === 'shorthand') {
      const service = {
        ...bookServiceOf(book),
        change: (change: Parameters<typeof changeBook>[1]) =>
          changeBook(book, { ...withoutSender(change), ...who, key: `job:${jobId}` }),
      };
      const { changed, ...imported } = await importNotes(service, {
        text: call.text,
        from: call.fileName,
        newId,
        read: (notes) => read.notes(notes, tools),
        ...(call.basis === undefined ? {} : { basis: call.basis }),
        ...(call.check === undefined ? {} : { check: call.check }),
      });
      return {
        as,
        ...imported,
        ...(changed === undefined ? {} : { seq: changed.group.seq }),
      };
    }
    if (as === 'share' || as === 'published') {
      const file =
        as === 'share' ? await read.share(call, tools) : shareOfPublished(call.text, call.fileName);
      const service = bookServiceOf(book);
      if (call.check === true) return { as, ...(await lookAtShare(service, file)) };
      const sender = { ...who, key: `job:${jobId}` };
      const { changed, ...taken } = await takeShare(service, file, newId, sender);
      return { as, ...taken, seq: changed.group.seq };
    }
    const records = await read.records(call, tools);
    if (call.check === true) {
      return { as, records: records.length, ...(await lookAtRecords(book, records)) };
    }
    const { changed, ...counts } = await importRecords(book, {
      records,
      files: [],
      what: `Imported ${records.length} records from ${call.fileName}`.slice(0, 300),
      ...(call.replace === undefined ? {} : { replace: call.replace }),
      ...who,
    });
    return { as, ...counts, ...(changed === undefined ? {} : { seq: changed.group.seq }) };
  };
}

function withoutSender({ by: _, ...change }: Parameters<typeof changeBook>[1]) {
  return change;
}
