import { z } from 'zod';
import type { WorkSteps } from '../core/find/work-steps.ts';
import { driftSchema, photoResultSchema } from '../domain/photo-result.ts';
import { driftNotes, photoResultOf } from './photo-result.ts';
import { overAll, type PhotoSubject, readingOne } from './photo-tiles.ts';
import { type ReadQuestion, readQuestion } from './read-question.ts';
import { verb } from './verb.ts';

const readAnswer = z.object({
  photo: photoResultSchema.unwrap().omit({ readMs: true }),
  drifts: z.array(driftSchema),
});
export type ReadAnswer = z.output<typeof readAnswer>;

/** What colour are the tiles in a photo? Nothing is kept. */
export const read = verb({
  name: 'read',
  asks: 'What colour are the tiles in this photo?',
  question: readQuestion,
  answer: readAnswer,
  *run(subject: PhotoSubject, question: ReadQuestion): WorkSteps<ReadAnswer> {
    const one = yield* readingOne(subject, question);
    return { photo: photoResultOf(one), drifts: driftNotes(overAll([one], question).drifts) };
  },
});
