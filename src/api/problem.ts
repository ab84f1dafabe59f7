import { z } from 'zod';
import type { FaultKind } from '../core/errors.ts';

export const PROBLEM_TYPE = 'application/problem+json';

const FAULT_KINDS = [
  'bad-input',
  'not-found',
  'conflict',
  'unavailable',
  'internal',
] as const satisfies readonly FaultKind[];

/**
 * A fault as the API tells it.
 * Source: RFC 9457; `code`, `kind`, `hint`, `retry`, `fields` and `more` are extensions of ours
 */
export const problemSchema = z
  .object({
    type: z.literal('about:blank'),
    /** The phrase of the status. */
    title: z.string(),
    status: z.int().min(400).max(599),
    detail: z.string(),
    code: z.string(),
    kind: z.enum(FAULT_KINDS),
    hint: z.string(),
    retry: z.boolean(),
    /** What does not fit; `pointer` is a JSON Pointer as a fragment (RFC 6901 section 6). */
    fields: z
      .array(
        z.object({
          in: z.enum(['body', 'query', 'path', 'header']),
          pointer: z.string(),
          detail: z.string(),
        }),
      )
      .exactOptional(),
    more: z.record(z.string(), z.unknown()).exactOptional(),
  })
  .meta({ id: 'Problem' });

export type Problem = z.output<typeof problemSchema>;

/**
 * Statuses finer than those of a kind.
 * Source: RFC 9110 section 15.5; 428 and 429 RFC 6585
 */
export const STATUS_OF_CODE: Readonly<Record<string, number>> = {
  'not-paired': 401,
  'code-not-known': 403,
  'owner-only': 403,
  'other-origin': 403,
  'no-such-place': 404,
  'not-this-way': 405,
  'body-too-large': 413,
  'body-too-much': 413,
  'photo-too-large': 413,
  'body-of-other-type': 415,
  'other-host': 421,
  'key-used-otherwise': 422,
  'say-which-version': 428,
  'too-often': 429,
};
