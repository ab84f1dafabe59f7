import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { openBook } from '../book/book.ts';
import { bookDoctor } from '../book/book-doctor.ts';
import { checkBook } from '../book/check-book.ts';
import { type ClayWork, type ClayWorkDone, doClayWork, type WorkTools } from '../book/clay-work.ts';
import { type NotesToRead, notesRead } from '../book/import-notes.ts';
import { doPhotoWork, isPhotoWork, type PhotoWork } from '../book/photo/photo-work.ts';
import { AppError } from '../core/errors.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { shareFromText } from '../domain/share/share-codec.ts';
import { recordsFromBookJson } from '../formats/book-json.ts';
import { readReadings } from '../formats/readings.ts';
import { BOOK_FILE, PHOTO_FOLDER } from '../store/book-names.ts';
import { checkBackup } from '../store/restore-backup.ts';
import { savedFilesIn } from '../store/saved-files.ts';
import { copySnapshot } from '../store/snapshot.ts';
import { openSqliteBook } from '../store/sqlite-book-store.ts';
import { bookAccess } from './book-access.ts';

/** Looks through a book as it is now, whoever has it open. */
export interface VerifyWork {
  readonly verb: 'verify';
  readonly folder: string;
}

/** A file to be taken into the book, read; large ones take seconds. */
export interface ReadWork {
  readonly verb: 'read';
  readonly as: 'readings' | 'export' | 'share';
  readonly text: string;
  readonly fileName: string;
  readonly basis: Basis;
}

/** Pasted notes, read; words are those of the book. */
export interface ReadNotesWork extends NotesToRead {
  readonly verb: 'read-notes';
}

/** Reads a backup to its end and looks through the book in it; `beside` is made for it and goes again. */
interface CheckBackupWork {
  readonly verb: 'check-backup';
  readonly path: string;
  readonly beside: string;
}

/** What is wrong with an installation, and how to mend it. */
interface DoctorWork {
  readonly verb: 'doctor';
  readonly folder: string;
}

/** Said in the middle of work that ends early with what it has. */
export interface StopWork {
  readonly verb: 'stop';
}

export type ThreadWork =
  | ClayWork
  | PhotoWork
  | VerifyWork
  | ReadWork
  | ReadNotesWork
  | CheckBackupWork
  | DoctorWork;

// One thread that does one piece of work after another; `work-threads.ts` holds the other end.
const { madeWith } = workerData as { madeWith: string };
const port = parentPort!;

let stopped = false;

port.on('message', async (work: ThreadWork | StopWork) => {
  if (work.verb === 'stop') {
    stopped = true;
    return;
  }
  // A stop that came too late was meant for the work before.
  stopped = false;
  try {
    port.postMessage({ done: await doWork(work) });
  } catch (thrown) {
    const fault =
      thrown instanceof AppError
        ? thrown.toJSON()
        : { unforeseen: thrown instanceof Error ? (thrown.stack ?? thrown.message) : `${thrown}` };
    port.postMessage({ fault });
  }
});

function doWork(work: ThreadWork): Promise<ClayWorkDone> {
  if (work.verb === 'verify') return verify(work.folder);
  if (work.verb === 'read') return read(work);
  if (work.verb === 'read-notes') return notes(work);
  if (work.verb === 'check-backup') return checked(work);
  if (work.verb === 'doctor') return doctor(work);
  const tools: WorkTools = {
    nowMs: () => performance.now(),
    progress: (report) => port.postMessage({ progress: report }),
    breathe: () => setImmediate(),
    optimiser,
    stopped: () => stopped,
    madeWith,
  };
  return isPhotoWork(work) ? photo(work, tools) : doClayWork(work, tools);
}

/** The engine is large, and is opened by the thread that first needs it. */
async function optimiser() {
  const { highsOptimiser } = await import('../solver/highs-optimiser.ts');
  return highsOptimiser();
}

/** What opens and prints pictures is large, and is fetched by the thread that first needs it. */
async function photo(work: PhotoWork, tools: WorkTools): Promise<ClayWorkDone> {
  const [{ decodePhoto }, { photoPreview }, { traySheetPdf }] = await Promise.all([
    import('../imaging/decode-photo.ts'),
    import('../imaging/photo-preview.ts'),
    import('../formats/tray-sheet-pdf.ts'),
  ]);
  return doPhotoWork(work, {
    ...tools,
    decode: decodePhoto,
    preview: async (decoded) => photoPreview(decoded),
    readings: readReadings,
    printing: { traySheet: traySheetPdf },
  });
}

async function read({ as, text, fileName, basis }: ReadWork): Promise<ClayWorkDone> {
  if (as === 'readings') {
    const { readings } = readReadings(new TextEncoder().encode(text), fileName, basis);
    return { answer: { readings } };
  }
  if (as === 'share') return { answer: { file: shareFromText(text, fileName) } };
  return { answer: { records: recordsFromBookJson(text, fileName) } };
}

async function notes({ verb: _, ...ask }: ReadNotesWork): Promise<ClayWorkDone> {
  return { answer: { ...notesRead(ask) } };
}

async function checked({ path, beside }: CheckBackupWork): Promise<ClayWorkDone> {
  return { answer: { ...(await checkBackup(path, beside)) } };
}

async function doctor({ folder }: DoctorWork): Promise<ClayWorkDone> {
  const look = await bookAccess(madeWith).installation(folder);
  return { answer: { findings: bookDoctor(look) } };
}

/** On a copy of one moment, so that changes made meanwhile are no trouble of either. */
async function verify(folder: string): Promise<ClayWorkDone> {
  const beside = mkdtempSync(join(tmpdir(), 'kneadwell-verify-'));
  try {
    const path = join(beside, BOOK_FILE);
    port.postMessage({ progress: { what: 'copying the book' } });
    copySnapshot(folder, path);
    const store = await openSqliteBook(path);
    try {
      port.postMessage({ progress: { what: 'looking through the book' } });
      const files = savedFilesIn(join(folder, PHOTO_FOLDER));
      const newId = () => 'none';
      const check = await checkBook(openBook({ store, files, nowEpochMs: () => 0, newId }));
      return { answer: { ...check } };
    } finally {
      await store.close();
    }
  } finally {
    rmSync(beside, { recursive: true, force: true });
  }
}
