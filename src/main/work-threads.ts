import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { type ClayWorkDone, endsEarly } from '../book/clay-work.ts';
import type { WorkElsewhere } from '../book/jobs/clay-jobs.ts';
import { isPhotoWork } from '../book/photo/photo-work.ts';
import { AppError, type FaultDetail } from '../core/errors.ts';
import type { ProgressReport } from '../verbs/progress.ts';
import type { StopWork, ThreadWork } from './work-thread.ts';

export interface WorkThreads {
  readonly elsewhere: WorkElsewhere;
  /** The same for work that needs more of this machine than clay work does. */
  ask(work: ThreadWork, options: Parameters<WorkElsewhere>[1]): Promise<ClayWorkDone>;
  /** Ends all threads; work that is being done refuses. */
  close(): Promise<void>;
}

/** Threads for jobs, and one kept free for what a person waits for. */
const JOB_THREADS = 2;
/** A hundred megapixels fill more than a gigabyte: one photo after another. */
const PHOTO_THREADS = 1;
const MOST_QUEUED = 200;
/** Work that ends early has so long to do it in. */
const END_EARLY_MS = 5000;
/** A search that would fill the memory of the machine ends itself, not the server. */
const LIMITS = { maxOldGenerationSizeMb: 1536 };

type LaneName = 'soon' | 'later' | 'photos' | 'backups';

interface Piece {
  readonly work: ThreadWork;
  readonly lane: LaneName;
  readonly progress: (report: ProgressReport) => void;
  readonly resolve: (done: ClayWorkDone) => void;
  readonly reject: (fault: unknown) => void;
  readonly signal: AbortSignal | undefined;
}

interface Thread {
  readonly worker: Worker;
  piece: Piece | undefined;
}

type Said =
  | { readonly progress: ProgressReport }
  | { readonly done: ClayWorkDone }
  | { readonly fault: FaultDetail | { readonly unforeseen: string } };

/**
 * A few threads that do clay work. Each is started when first wanted and kept. Work that can end early
 * with what it has is asked to when it is stopped; of other work, or where that takes too long, the thread
 * is ended, and another takes its place.
 */
export function workThreads(madeWith: string, file = ownFile()): WorkThreads {
  const lanes = {
    soon: { most: 1, threads: new Set<Thread>() },
    later: { most: JOB_THREADS, threads: new Set<Thread>() },
    photos: { most: PHOTO_THREADS, threads: new Set<Thread>() },
    // Whoever wants to restore a book must not wait for the jobs of others.
    backups: { most: 1, threads: new Set<Thread>() },
  };
  let queue: Piece[] = [];
  let closed = false;

  return {
    elsewhere: ask,
    ask,
    async close() {
      closed = true;
      for (const piece of queue) piece.reject(stopped());
      queue = [];
      const threads = Object.values(lanes).flatMap((lane) => [...lane.threads]);
      for (const { piece } of threads) piece?.reject(stopped());
      await Promise.all(threads.map(({ worker }) => worker.terminate()));
    },
  };

  function ask(
    work: ThreadWork,
    { signal, progress = () => {}, soon = false }: Parameters<WorkElsewhere>[1],
  ): Promise<ClayWorkDone> {
    return new Promise((resolve, reject) => {
      if (closed || signal?.aborted) return reject(stopped());
      if (queue.length >= MOST_QUEUED) return reject(tooBusy());
      const lane = soon ? 'soon' : laneOf(work);
      const piece: Piece = { work, lane, progress, resolve, reject, signal };
      signal?.addEventListener('abort', () => stop(piece), { once: true });
      queue.push(piece);
      pump(lane);
    });
  }

  function stop(piece: Piece): void {
    const { threads } = lanes[piece.lane];
    const thread = [...threads].find((one) => one.piece === piece);
    if (thread !== undefined && endsEarly(piece.work)) {
      thread.worker.postMessage({ verb: 'stop' } satisfies StopWork);
      setTimeout(() => thread.piece === piece && end(thread), END_EARLY_MS).unref();
      return;
    }
    queue = queue.filter((one) => one !== piece);
    if (thread === undefined) piece.reject(stopped());
    else end(thread);

    function end(one: Thread): void {
      threads.delete(one);
      piece.reject(stopped());
      void one.worker.terminate();
      pump(piece.lane);
    }
  }

  function pump(name: LaneName): void {
    const lane = lanes[name];
    for (;;) {
      const inLane = queue.filter((piece) => piece.lane === name);
      const next = inLane.find(({ work }) => isWaitedFor(work)) ?? inLane[0];
      if (next === undefined || closed) return;
      const free = [...lane.threads].find(({ piece }) => piece === undefined);
      if (free === undefined && lane.threads.size >= lane.most) return;
      queue = queue.filter((piece) => piece !== next);
      const thread = free ?? begin(lane.threads, name);
      thread.piece = next;
      thread.worker.ref();
      thread.worker.postMessage(next.work);
    }
  }

  function begin(threads: Set<Thread>, name: LaneName): Thread {
    const worker = startWorker(madeWith, file);
    const thread: Thread = { worker, piece: undefined };
    threads.add(thread);
    const rest = () => {
      const piece = thread.piece;
      thread.piece = undefined;
      // A thread at rest keeps no program from ending.
      worker.unref();
      return piece;
    };
    worker.on('message', (said: Said) => {
      if ('progress' in said) thread.piece?.progress(said.progress);
      else if ('done' in said) {
        rest()?.resolve(said.done);
        pump(name);
      } else {
        rest()?.reject(faultFrom(said.fault));
        pump(name);
      }
    });
    worker.on('error', (fault) => {
      threads.delete(thread);
      rest()?.reject(gaveUp(fault));
      pump(name);
    });
    worker.on('exit', () => {
      if (!threads.delete(thread)) return;
      rest()?.reject(gaveUp(undefined));
      pump(name);
    });
    return thread;
  }
}

/** A photo that is to be seen, or a sheet to be printed, does not wait for all the photos to be read. */
function laneOf(work: ThreadWork): LaneName {
  if (work.verb === 'check-backup') return 'backups';
  return isPhotoWork(work) ? 'photos' : 'later';
}

function isWaitedFor(work: ThreadWork): boolean {
  return isPhotoWork(work) && work.verb !== 'read-photo';
}

/** Beside this module, and a source where this is one. */
function ownFile(): URL {
  const built = !import.meta.url.endsWith('.ts');
  return new URL(built ? './work-thread.js' : './work-thread.ts', import.meta.url);
}

/** From its sources, the thread first learns to read them: hooks of the program do not reach a thread. */
function startWorker(madeWith: string, file: URL): Worker {
  const options = { workerData: { madeWith }, resourceLimits: LIMITS };
  if (file.pathname.endsWith('.js')) return new Worker(file, options);
  const found = createRequire(import.meta.url).resolve('tsx/esm/api');
  const reader = pathToFileURL(found.replace(/\.cjs$/, '.mjs')).href;
  return new Worker(
    `import(${JSON.stringify(reader)}).then(({ register }) => (register(), import(${JSON.stringify(file.href)})))`,
    { ...options, eval: true },
  );
}

function faultFrom(fault: FaultDetail | { readonly unforeseen: string }): unknown {
  return 'unforeseen' in fault ? new Error(fault.unforeseen) : new AppError(fault);
}

function stopped(): AppError {
  return new AppError({
    code: 'work-stopped',
    kind: 'unavailable',
    detail: 'The work was stopped before it was done.',
    hint: 'Ask for it again.',
    retry: true,
  });
}

function tooBusy(): AppError {
  return new AppError({
    code: 'too-much-work',
    kind: 'unavailable',
    detail: 'More is being worked on than can wait in turn.',
    hint: 'Ask again in a moment.',
    retry: true,
  });
}

function gaveUp(cause: unknown): AppError {
  return new AppError({
    code: 'work-gave-up',
    kind: 'unavailable',
    detail: 'The work ended before it was done, perhaps because the memory did not suffice.',
    hint: 'Ask for less at once: fewer clays, parts or readings.',
    cause,
  });
}
