import { z } from 'zod';
import { BASES } from '../core/mixes/mix-graph.ts';
import { EYE_WORDS } from '../core/trial/by-eye-observer.ts';
import { chartAsked, cornersAsked, pixel, sheetAsked } from '../domain/photo-request.ts';
import { idSchema, lab, line, moment, range, share } from '../domain/records/pieces.ts';
import { viewingSchema, wantedSchema } from './clay-routes.ts';
import { problemSchema } from './problem.ts';
import { type ApiRoutes, flag, idempotent, MOST_BODY_BYTES, whole } from './route.ts';

const clay = {
  clayModelId: idSchema,
  viewing: viewingSchema.exactOptional(),
  /** Names of clays that may be used; all when absent. */
  only: z.array(z.string().min(1).max(200)).min(1).max(200).exactOptional(),
};

const learnCall = z.strictObject({
  do: z.literal('learn'),
  name: line(200),
  basis: z.enum(BASES).exactOptional(),
  /** Only readings whose mixes are of these blocks; all when absent. */
  blockIds: z.array(idSchema).min(1).max(1000).exactOptional(),
  /** An older clay model to tell the changes against. */
  sinceId: idSchema.exactOptional(),
});
const names = z.array(z.string().min(1).max(200)).min(1).max(200).exactOptional();
const shares = z
  .array(z.strictObject({ of: z.string().min(1).max(200), share }))
  .max(50)
  .exactOptional();

const findCall = z.strictObject({
  do: z.literal('find'),
  clayModelId: idSchema,
  viewing: viewingSchema.exactOptional(),
  /** Rank by the worst of these too. */
  otherViewings: z.array(viewingSchema).max(8).exactOptional(),
  aim: lab,
  tolerance: range(0.01, 100).default(1.8),
  mostClays: z.int().min(1).max(8).default(4),
  parts: z.int().min(1).max(100).default(12),
  top: z.int().min(1).max(200).default(10),
  basis: z.enum(BASES).exactOptional(),
  /** Kept to by every recipe; names are those of the model's clays and of lines of the book. */
  rules: z
    .strictObject({
      only: names,
      without: names,
      must: names,
      lines: names,
      mostLines: z.int().min(1).max(50).exactOptional(),
      atLeast: shares,
      atMost: shares,
      halfPart: range(0.05, 50).exactOptional(),
      /** Of no clay more than the book's stock holds. */
      batchG: range(0.1, 100_000).exactOptional(),
    })
    .exactOptional(),
  giveUp: z.enum(['lightness', 'chroma', 'hue']).exactOptional(),
  /** So long the search may take; then the job is done with the best so far. */
  mostSeconds: range(0.1, 3600).exactOptional(),
});
const nextTileCall = z.strictObject({
  do: z.literal('next-tile'),
  ...clay,
  tiles: z.int().min(1).max(24).default(3),
  parts: z.int().min(2).max(64).default(16),
  /** Mixes that ought to come out surely; with `aims` none, all mixes. */
  wanted: z.array(wantedSchema).max(100).default([]),
  aims: z.array(lab).max(100).default([]),
});
const ball = z.array(z.strictObject({ clay: z.string().min(1).max(200), parts: range(1e-6, 1e6) }));
const tryCall = z.strictObject({
  do: z.literal('try'),
  ...clay,
  aim: lab,
  /** How far the aim may be off, standard deviation an axis, CIELAB units. */
  aimSpread: range(0, 20).default(0.5),
  mostClays: z.int().min(1).max(6).default(3),
  parts: z.int().min(1).max(24).default(8),
  /** Trials rolled so far, in order; the last may still wait for its verdict. */
  trials: z
    .array(
      z.strictObject({
        balls: z.array(ball.min(1).max(8)).min(1).max(3),
        verdict: z
          .strictObject({
            /** Which ball is nearest, 0 is the first, or none to choose between. */
            nearest: z.union([z.int().min(0).max(2), z.literal('none')]),
            /** How it looks beside the original; of every ball where none is nearest. */
            how: z.array(z.enum(EYE_WORDS)).max(8).exactOptional(),
          })
          .exactOptional(),
      }),
    )
    .max(100)
    .default([]),
});
const verifyCall = z.strictObject({ do: z.literal('verify') });
/** What is wrong with the installation, and how to mend it. */
const doctorCall = z.strictObject({ do: z.literal('doctor') });
const backupCall = z.strictObject({ do: z.literal('backup') });
const importCall = z.strictObject({
  do: z.literal('import'),
  /** Readings as CSV or CGATS, a page in her shorthand, or the JSON of an export. */
  as: z.enum(['readings', 'shorthand', 'export']),
  fileName: line(200),
  /** The file; empty once the job has ended. */
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
  sheet: sheetAsked.default('any'),
  chart: chartAsked(200_000).default('none'),
  corners: cornersAsked.exactOptional(),
  /** Middles of tiles that lie on no place, in pixels. */
  taps: z
    .array(z.strictObject({ name: line(60), at: pixel }))
    .max(60)
    .default([]),
  /** Tiles of the photo whose colour is known, by the name they have in it. */
  controls: z
    .array(
      z.strictObject({
        name: line(200),
        earlier: z
          .array(z.strictObject({ lab, spread: range(0.001, 20) }))
          .min(1)
          .max(200),
      }),
    )
    .max(60)
    .default([]),
});

/** Long work that may be asked for. */
export const jobCallSchema = z
  .discriminatedUnion('do', [
    learnCall,
    findCall,
    nextTileCall,
    tryCall,
    verifyCall,
    doctorCall,
    backupCall,
    importCall,
    readPhotoCall,
  ])
  .meta({ id: 'JobCall' });
export type JobCall = z.output<typeof jobCallSchema>;
export type JobDo = JobCall['do'];

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
