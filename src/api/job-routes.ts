import { z } from 'zod';
import { BASES } from '../core/mixes/mix-graph.ts';
import { IMPORT_KINDS } from '../domain/import-kinds.ts';
import { chartAsked, DEFAULT_EDITION } from '../domain/records/photo-request.ts';
import { idSchema, line, moment } from '../domain/records/pieces.ts';
import { bake } from '../verbs/bake.ts';
import { buyOrMix } from '../verbs/buy-or-mix.ts';
import { buyingList } from '../verbs/buying-list.ts';
import { chart } from '../verbs/chart.ts';
import { checkNames } from '../verbs/check-names.ts';
import { compareLines } from '../verbs/compare-lines.ts';
import { figure } from '../verbs/figure.ts';
import { find } from '../verbs/find.ts';
import { hold } from '../verbs/hold.ts';
import { ladder } from '../verbs/ladder.ts';
import { learn } from '../verbs/learn.ts';
import { mend } from '../verbs/mend.ts';
import { nearest } from '../verbs/nearest.ts';
import { newLot } from '../verbs/new-lot.ts';
import { nextTile } from '../verbs/next-tile.ts';
import { read } from '../verbs/read.ts';
import { translate } from '../verbs/translate.ts';
import { tryBalls } from '../verbs/try.ts';
import { twins } from '../verbs/twins.ts';
import { widen } from '../verbs/widen.ts';
import { wantedSchema } from './clay-routes.ts';
import { problemSchema } from './problem.ts';
import { type ApiRoutes, flag, idempotent, MOST_BODY_BYTES, whole } from './route.ts';

/** Questions are those of `src/verbs`, asked about what the book holds. */
const ofModel = { clayModelId: idSchema };

const learnCall = z.strictObject({
  do: z.literal(learn.name),
  name: line(200),
  ...learn.question.shape,
  /** Only readings whose mixes are of these blocks; all when absent. */
  blockIds: z.array(idSchema).min(1).max(1000).exactOptional(),
  /** An older clay model to compare with; the one in use when absent. */
  sinceId: idSchema.exactOptional(),
  /** Only say what would change, save nothing. */
  check: z.boolean().exactOptional(),
});
/** The stock is the book's own. */
const findCall = find.question
  .omit({ stock: true })
  .extend({ do: z.literal(find.name), ...ofModel });
const nextTileCall = nextTile.question.extend({
  do: z.literal(nextTile.name),
  ...ofModel,
  /** Mixes that you want to be sure of; with `aims` none, all mixes. */
  wanted: z.array(wantedSchema).max(100).default([]),
});
const tryCall = tryBalls.question.extend({ do: z.literal(tryBalls.name), ...ofModel });
const mendCall = mend.question.extend({ do: z.literal(mend.name), ...ofModel });
const ladderCall = ladder.question.extend({ do: z.literal(ladder.name), ...ofModel });
/** Stock and tiles are the book's own. */
const chartCall = chart.question
  .omit({ stock: true, tiles: true })
  .extend({ do: z.literal(chart.name), ...ofModel });
/** All mixes of the book, where none is named. */
const translateCall = translate.question.omit({ stock: true }).extend({
  do: z.literal(translate.name),
  ...ofModel,
  wanted: z.array(wantedSchema).min(1).max(1000).exactOptional(),
});
/** All mixes of the book that hold the clay, where none is named. */
const newLotCall = newLot.question.omit({ stock: true }).extend({
  do: z.literal(newLot.name),
  ...ofModel,
  wanted: z.array(wantedSchema).min(1).max(1000).exactOptional(),
});
const checkNamesCall = checkNames.question.extend({
  do: z.literal(checkNames.name),
  ...ofModel,
});
const twinsCall = twins.question
  .omit({ stock: true })
  .extend({ do: z.literal(twins.name), ...ofModel });
const compareLinesCall = compareLines.question
  .omit({ stock: true })
  .extend({ do: z.literal(compareLines.name), ...ofModel });
const widenCall = widen.question
  .omit({ stock: true })
  .extend({ do: z.literal(widen.name), ...ofModel });
const buyOrMixCall = buyOrMix.question
  .omit({ stock: true, goodEnough: true })
  .extend({ do: z.literal(buyOrMix.name), ...ofModel });
const buyingListCall = buyingList.question
  .omit({ stock: true })
  .extend({ do: z.literal(buyingList.name), ...ofModel });
/** Stock and mixes are the book's own. */
const figureCall = figure.question
  .omit({ stock: true })
  .extend({ do: z.literal(figure.name), ...ofModel });
const nearestCall = nearest.question.extend({ do: z.literal(nearest.name) });
const holdCall = hold.question.extend({ do: z.literal(hold.name) });
const bakeCall = bake.question.extend({ do: z.literal(bake.name) });
const verifyCall = z.strictObject({ do: z.literal('verify') });
/** What is wrong with the installation, and how to mend it. */
const doctorCall = z.strictObject({ do: z.literal('doctor') });
const backupCall = z.strictObject({ do: z.literal('backup') });
const importCall = z.strictObject({
  do: z.literal('import'),
  /** What is in the file; found out from the file when left out. */
  as: z.enum(IMPORT_KINDS).exactOptional(),
  fileName: line(200),
  /** The file; empty in every answer about the job. */
  text: z.string().max(8 * 2 ** 20),
  basis: z.enum(BASES).exactOptional(),
  /** Line for clays of readings that the book does not know. */
  newLine: line(200).exactOptional(),
  /** Of an export: put its records over others of the same id. */
  replace: z.boolean().exactOptional(),
  /** Only look, keep nothing. */
  check: z.boolean().exactOptional(),
});

const readPhotoCall = z.strictObject({
  do: z.literal('read-photo'),
  /** One that waits to be accepted, or one the book keeps. */
  photo: z.union([z.strictObject({ draftId: idSchema }), z.strictObject({ photoId: idSchema })]),
  ...read.question.shape,
  chart: chartAsked(200_000)
    .default(DEFAULT_EDITION)
    .meta({ description: 'The chart of 24 patches: its edition, none, or a file of readings' }),
});

/** Long work that may be asked for. */
export const jobCallSchema = z
  .discriminatedUnion('do', [
    learnCall,
    findCall,
    nextTileCall,
    tryCall,
    mendCall,
    ladderCall,
    chartCall,
    translateCall,
    twinsCall,
    compareLinesCall,
    widenCall,
    newLotCall,
    checkNamesCall,
    buyOrMixCall,
    buyingListCall,
    figureCall,
    nearestCall,
    holdCall,
    bakeCall,
    verifyCall,
    doctorCall,
    backupCall,
    importCall,
    readPhotoCall,
  ])
  .meta({ id: 'JobCall' });
export type JobCall = z.output<typeof jobCallSchema>;
/** The same as it is asked for: what has a default may be left out. */
export type JobAsk = z.input<typeof jobCallSchema>;
export type JobDo = JobCall['do'];

/** Work that only the owner may ask for and see: it makes backups, or its answer names folders. */
export const OWNER_JOBS: readonly JobDo[] = ['backup', 'doctor'];

export const JOB_STATES = ['waiting', 'running', 'done', 'failed', 'cancelled', 'lost'] as const;

export const jobSchema = z
  .object({
    id: idSchema,
    call: jobCallSchema,
    state: z.enum(JOB_STATES),
    progress: z
      .object({
        what: z.string(),
        done: z.number().exactOptional(),
        total: z.number().exactOptional(),
      })
      .exactOptional(),
    by: z.string().exactOptional(),
    createdAt: moment,
    startedAt: moment.exactOptional(),
    endedAt: moment.exactOptional(),
    /** Moments at which it was found that the program had stopped under it. */
    lostAt: z.array(moment),
    /** In a sentence, where more is to be said than the state. */
    says: z.string().exactOptional(),
    /** Of a job that is done, and the best so far of a search that was cancelled; shapes in docs/api.md. */
    result: z.record(z.string(), z.unknown()).exactOptional(),
    problem: problemSchema.exactOptional(),
  })
  .meta({ id: 'Job' });
export type Job = z.output<typeof jobSchema>;

/** What an event says of a job; the job itself has the rest. */
export interface JobNews extends Pick<Job, 'id' | 'state' | 'progress'> {
  readonly do: JobDo;
}

const idParams = z.strictObject({ id: idSchema });

export const JOB_ROUTES = {
  startJob: {
    says: 'Asks for long work; the answer is a job to look at',
    who: 'paired',
    headers: idempotent,
    body: jobCallSchema,
    answer: jobSchema,
    status: 202,
    mostBytes: 32 * MOST_BODY_BYTES,
  },
  listJobs: {
    says: 'Jobs, newest first, without their results',
    who: 'paired',
    query: z.strictObject({ open: flag.exactOptional(), limit: whole(1, 200).default(50) }),
    answer: z.object({ jobs: z.array(jobSchema) }),
  },
  getJob: {
    says: 'One job with its progress and, once it has one, its result',
    who: 'paired',
    params: idParams,
    answer: jobSchema,
  },
  cancelJob: {
    says: 'Stops a job, a search with the best so far; one that has ended stays as it is',
    who: 'paired',
    params: idParams,
    answer: jobSchema,
  },
} as const satisfies Partial<ApiRoutes>;
