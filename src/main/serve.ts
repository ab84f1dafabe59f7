import { spawn } from 'node:child_process';
import { randomBytes, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FastifyInstance } from 'fastify';
import QRCode from 'qrcode';
import type { JobCall } from '../api/job-routes.ts';
import type { BackupCheck } from '../book/backup-ports.ts';
import { type Book, openBook } from '../book/book.ts';
import { makeDailyBackup } from '../book/daily-backup.ts';
import { deviceBook } from '../book/devices/device-book.ts';
import type { NotesRead } from '../book/import-notes.ts';
import { clayJobs } from '../book/jobs/clay-jobs.ts';
import { importJob } from '../book/jobs/import-job.ts';
import { type JobTools, jobQueue } from '../book/jobs/job-queue.ts';
import { photoDrafts } from '../book/photo/photo-drafts.ts';
import { lookElsewhere, photoJob } from '../book/photo/photo-job.ts';
import { restoreService } from '../book/restore-service.ts';
import { nameOfBook } from '../book/which-book.ts';
import { AppError } from '../core/errors.ts';
import { READING_DEFAULTS, type Reading } from '../domain/records/reading.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { ShareFile } from '../domain/share/share-file.ts';
import { bookTables } from '../formats/book-csv.ts';
import { bookJson } from '../formats/book-json.ts';
import { fileKind } from '../formats/file-kind.ts';
import { imageSize } from '../imaging/image-size.ts';
import { buildServer } from '../server/build-server.ts';
import type { ConnectionLimits } from '../server/connection-limits.ts';
import type { NetworkState } from '../server/dependencies.ts';
import { forgetAnswers } from '../server/idempotency.ts';
import type { Certificate } from '../server/network-listener.ts';
import { problemOf } from '../server/problem-answers.ts';
import { openBookFolder } from '../store/book-folder.ts';
import { DRAFT_FOLDER, INCOMING_FOLDER } from '../store/book-names.ts';
import { draftStoreIn, sweepDrafts } from '../store/draft-store.ts';
import { incomingBackups } from '../store/incoming-backups.ts';
import { openServerStateStore } from '../store/server-state-store.ts';
import { demoRecords } from './demo-records.ts';
import { homeNetwork, hostNames } from './home-network.ts';
import { sharingHere } from './sharing.ts';
import { type Swaps, swappable } from './swap-book.ts';
import { workThreads } from './work-threads.ts';

export const DEFAULT_PORT = 4747;
type ImportCall = Extract<JobCall, { do: 'import' }>;

const SIDE_FILE = 'server.sqlite';
const DAY_LOOK_MS = 60 * 60 * 1000;
const DRAFT_LOOK_MS = 10 * 60 * 1000;

export interface ServeOptions {
  /** 0 takes any that is free. */
  readonly port?: number;
  readonly version: string;
  /** The file that threads for long work run; their source or build beside the program where absent. */
  readonly thread?: URL;
  /** Folder of the built page; beside the program where absent. */
  readonly page?: string;
  /** Of the home network's door; plain http without. */
  readonly certificate?: Certificate;
  /** Addresses of this machine in the home network; looked up where absent. */
  readonly networkAddresses?: () => readonly string[];
  readonly log?: { write(line: string): void };
  readonly onTrouble?: (fault: unknown) => void;
  /** Hears what opening did to the book, in a sentence. */
  readonly onNotice?: (sentence: string) => void;
  readonly checkAnswers?: boolean;
  /** False: no backup is made by itself. */
  readonly dailyBackups?: boolean;
  readonly nowEpochMs?: () => number;
  /** How long and how many callers are waited for; the usual limits when absent. */
  readonly limits?: ConnectionLimits;
}

export interface RunningServer {
  /** Where the owner finds it, `http://127.0.0.1:4747`. */
  readonly url: string;
  readonly port: number;
  readonly book: Book;
  readonly app: FastifyInstance;
  network(): NetworkState;
  close(): Promise<void>;
}

/**
 * Opens a data folder and serves it: on this machine alone, and to the home network where that was
 * switched on. Resolves once it answers; the book is read for searching meanwhile.
 * Refuses: as `openBookFolder` does; the port taken -> port-taken (conflict)
 */
export async function startServer(folder: string, options: ServeOptions): Promise<RunningServer> {
  const { nowEpochMs = Date.now, onTrouble = warn } = options;
  const open = (swaps: Swaps) => openServer(folder, options, swaps);
  const served = await swappable({ folder, nowEpochMs, onTrouble, open });
  const { url, port } = served.now();
  return {
    url,
    port,
    // Another book may lie there after a restore.
    get book() {
      return served.now().book;
    },
    get app() {
      return served.now().app;
    },
    network: () => served.now().network(),
    close: served.close,
  };
}

async function openServer(
  folder: string,
  options: ServeOptions,
  swaps: Swaps,
): Promise<RunningServer & { leave(): Promise<void> }> {
  const { version, nowEpochMs = Date.now, onTrouble = warn } = options;
  const madeWith = `kneadwell ${version}`;
  const { onNotice = warn } = options;
  const open = await openBookFolder(folder, { nowEpochMs, madeWith, onNotice });
  const undo: (() => Promise<void> | void)[] = [() => open.close()];
  const unwind = async () => {
    for (const step of undo.toReversed()) await step();
  };
  try {
    const side = openServerStateStore(join(folder, SIDE_FILE));
    undo.push(() => side.close());
    if (side.startedEmpty) onTrouble(serverStateLost(folder));
    const threads = workThreads(madeWith, options.thread);
    undo.push(() => threads.close());
    const book = openBook({ ...open.ports, onTrouble }, threads.elsewhere);
    // Whoever asks hears of a book that cannot be read.
    book.sheets.warm().catch(() => {});
    const read = async (
      { text, fileName, basis = READING_DEFAULTS.basis }: ImportCall,
      as: 'readings' | 'export' | 'share',
      tools: JobTools,
    ) => (await threads.ask({ verb: 'read', as, text, fileName, basis }, tools)).answer;
    const draftFolder = join(folder, DRAFT_FOLDER);
    const drafts = photoDrafts({
      store: draftStoreIn(draftFolder),
      nowEpochMs,
      newId: () => randomUUID(),
      look: lookElsewhere(threads.ask),
    });
    if (open.readOnly === undefined) await sweepDrafts(draftFolder).then(() => drafts.sweep());
    const sweeping = setInterval(() => void drafts.sweep().catch(onTrouble), DRAFT_LOOK_MS);
    sweeping.unref();
    undo.push(() => clearInterval(sweeping));
    const jobs = await jobQueue({
      side,
      nowEpochMs,
      newId: () => randomUUID(),
      onTrouble,
      problemOf: (fault) => {
        if (!(fault instanceof AppError)) onTrouble(fault);
        return problemOf(fault);
      },
      runners: {
        ...clayJobs(book, threads.elsewhere),
        'read-photo': photoJob(book, drafts, threads.ask),
        verify: async (_, tools) => (await threads.ask({ verb: 'verify', folder }, tools)).answer,
        import: importJob(book, {
          kindOf: ({ text, fileName }) => fileKind(new TextEncoder().encode(text), fileName),
          readings: async (call, tools) =>
            (await read(call, 'readings', tools)).readings as Reading[],
          records: async (call, tools) =>
            (await read(call, 'export', tools)).records as BookRecord[],
          share: async (call, tools) => (await read(call, 'share', tools)).file as ShareFile,
          notes: async (notes, tools) => {
            const { answer } = await threads.ask({ verb: 'read-notes', ...notes }, tools);
            return answer as unknown as NotesRead;
          },
        }),
        doctor: async (_, tools) => (await threads.ask({ verb: 'doctor', folder }, tools)).answer,
        backup: async () => ({ ...(await open.backups.make()) }),
      },
    });
    undo.push(() => jobs.stop());
    const devices = await deviceBook({ side, nowEpochMs, randomBytes, newId: () => randomUUID() });
    const network = homeNetwork({
      side,
      ...(options.certificate === undefined ? {} : { certificate: options.certificate }),
      ...(options.networkAddresses === undefined ? {} : { addresses: options.networkAddresses }),
      ...(options.limits === undefined ? {} : { limits: options.limits }),
    });
    const restores = restoreService({
      book,
      backups: open.backups,
      newId: () => randomUUID(),
      incoming: await incomingBackups(join(folder, INCOMING_FOLDER)),
      check: async (path) => {
        const beside = join(folder, INCOMING_FOLDER, randomUUID());
        const { answer } = await threads.ask({ verb: 'check-backup', path, beside }, {});
        return answer as unknown as BackupCheck;
      },
      putInPlace: swaps.putInPlace,
      last: swaps.last,
    });
    const folderPass = randomBytes(32).toString('base64url');
    const app = await buildServer({
      book,
      folder: resolve(folder),
      folderPass,
      backups: open.backups,
      restores,
      exports: { json: bookJson, tables: bookTables },
      demo: demoRecords,
      jobs,
      devices,
      side,
      work: threads.elsewhere,
      drafts,
      photoWork: threads.ask,
      version,
      bookName: await nameOfBook(side, resolve(folder), randomUUID, swaps.otherBook),
      imageSize,
      sharing: sharingHere(options.page),
      network,
      qrSvg: (text) => QRCode.toString(text, { type: 'svg', margin: 4 }),
      hostNames,
      nowEpochMs,
      onTrouble,
      ...pageOf(options),
      ...(options.log === undefined ? {} : { log: options.log }),
      ...(options.limits === undefined ? {} : { limits: options.limits }),
      ...(options.checkAnswers === undefined ? {} : { checkAnswers: options.checkAnswers }),
    });
    undo.push(() => app.close());
    const port = await listen(app, swaps.port ?? options.port ?? DEFAULT_PORT);
    const url = `http://127.0.0.1:${port}`;
    undo.push(() => network.shut());
    // Away from home there is no network; the book opens all the same.
    await network
      .begin((request, response) => app.routing(request, response), port)
      .catch(onTrouble);
    if (options.dailyBackups !== false) undo.push(daily());
    open.lock.announce(url, folderPass);
    let closing: Promise<void> | undefined;
    return {
      url,
      port,
      book,
      app,
      network: network.state,
      async leave() {
        for (const { id } of jobs.list({ open: true, limit: 200 })) await jobs.cancel(id);
        await forgetAnswers(side);
      },
      close: () => (closing ??= unwind()),
    };

    function daily(): () => Promise<void> {
      let making: Promise<unknown> = Promise.resolve();
      const look = () => {
        making = making.then(() => makeDailyBackup(open.backups, nowEpochMs())).catch(onTrouble);
      };
      // Not in the first seconds, when the user wants to see the book.
      const soon = setTimeout(look, 30_000);
      const often = setInterval(look, DAY_LOOK_MS);
      return async () => {
        clearTimeout(soon);
        clearInterval(often);
        await making;
      };
    }
  } catch (thrown) {
    await unwind();
    throw thrown;
  }
}

/** Both names of this machine, where the second is there. */
async function listen(app: FastifyInstance, port: number): Promise<number> {
  try {
    await app.listen({ port, host: '127.0.0.1' });
  } catch (thrown) {
    const { code } = thrown as NodeJS.ErrnoException;
    if (code !== 'EADDRINUSE' && code !== 'EACCES') throw thrown;
    throw new AppError({
      code: 'port-taken',
      kind: 'conflict',
      detail: `Another program listens at port ${port} of this computer, or it is not free to use.`,
      hint: 'Close that program, or choose another port.',
      cause: thrown,
    });
  }
  const address = app.server.address();
  return typeof address === 'object' && address !== null ? address.port : port;
}

function pageOf({ page }: ServeOptions): { readonly page?: string } {
  const folder = page ?? fileURLToPath(new URL('../web', import.meta.url));
  return existsSync(join(folder, 'index.html')) ? { page: folder } : {};
}

function serverStateLost(folder: string): AppError {
  return new AppError({
    code: 'server-state-lost',
    kind: 'unavailable',
    detail: `The list of paired devices and jobs in ${folder} was damaged. The damaged file is kept beside it.`,
    hint: 'Pair the devices again. The book itself is untouched.',
  });
}

function warn(fault: unknown): void {
  process.emitWarning(fault instanceof Error ? fault : String(fault));
}

/** Places tried when nobody named one. */
const PLACES = 20;

/** Serves until the person or the system ends it, as the command line asks. */
export async function serveBook(
  call: {
    readonly folder: string;
    readonly port?: number;
    readonly open: boolean;
    readonly say: (text: string) => void;
  },
  shell: { readonly version: string },
): Promise<void> {
  const server = await startNear(call.folder, call.port, {
    version: shell.version,
    onNotice: (sentence) => call.say(`${sentence}\n`),
  });
  const ended = new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
      process.once(signal, () => resolve());
    }
  });
  call.say(
    `The book in ${call.folder} is at ${server.url}\nOn a phone: pair it at ${server.url}/settings/devices\nCtrl+C ends it.\n`,
  );
  if (call.open) openInBrowser(server.url);
  await ended;
  await server.close();
}

async function startNear(folder: string, port: number | undefined, options: ServeOptions) {
  if (port !== undefined) return startServer(folder, { ...options, port });
  for (let place = DEFAULT_PORT; ; place++) {
    try {
      return await startServer(folder, { ...options, port: place });
    } catch (fault) {
      const taken = fault instanceof AppError && fault.code === 'port-taken';
      if (!taken || place >= DEFAULT_PORT + PLACES) throw fault;
    }
  }
}

function openInBrowser(url: string): void {
  const [command, ...args] =
    process.platform === 'win32'
      ? ['cmd', '/c', 'start', '', url]
      : process.platform === 'darwin'
        ? ['open', url]
        : ['xdg-open', url];
  const opener = spawn(command, args, { stdio: 'ignore', detached: true });
  // Without a browser to open, the user still has the address printed before.
  opener.on('error', () => {});
  opener.unref();
}
