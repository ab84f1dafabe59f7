import { z } from 'zod';
import type { ApiName } from './paths.ts';

/**
 * Who may call: anyone who reaches the server, a paired device or this machine, this machine alone, or a
 * program on it that can read the book's folder.
 */
export type ApiCaller = 'anyone' | 'paired' | 'owner' | 'folder';

export interface ApiRoute {
  readonly says: string;
  readonly who: ApiCaller;
  readonly params?: z.ZodObject;
  readonly query?: z.ZodObject;
  readonly headers?: z.ZodObject;
  /** `bytes`: the body is the file itself; `stream`: so it is, and too large to be held at once. */
  readonly body?: z.ZodType | 'bytes' | 'stream';
  /** `bytes`: a file; `events`: a stream of server-sent events. */
  readonly answer: z.ZodType | 'bytes' | 'events' | 'nothing';
  /** When all is well; 200 unless said. */
  readonly status?: 200 | 201 | 202 | 204;
  /** Most bytes of a body; MOST_BODY_BYTES unless said. */
  readonly mostBytes?: number;
}

export type ApiRoutes<N extends ApiName = ApiName> = { readonly [K in N]: ApiRoute };

export const MOST_BODY_BYTES = 1024 * 1024;

/** Numbers and flags as they stand in a query. */
export const whole = (low: number, high: number) =>
  z.coerce.number<number | string>().int().min(low).max(high);
export const real = (low: number, high: number) =>
  z.coerce.number<number | string>().min(low).max(high);
export const flag = z.enum(['true', 'false']).transform((word) => word === 'true');

/** One value or several, `kind=mix&kind=tile`. */
export const several = <T extends z.ZodType>(one: T, most: number) =>
  z.union([one, z.array(one).min(1).max(most)]).transform((value) => {
    return (Array.isArray(value) ? value : [value]) as z.output<T>[];
  });

/** The list of a question, in a query: `codes=K7&codes=K8`. */
export const asList = <T extends z.ZodType>(list: T) =>
  z.preprocess((value) => (typeof value === 'string' ? [value] : value), list);

/**
 * Headers the routes look at; all others pass.
 * Source: RFC 9110 sections 13.1.1 and 13.1.2; the name Idempotency-Key is that of the draft
 *         draft-ietf-httpapi-idempotency-key-header
 */
export const preconditions = z.looseObject({
  'if-match': z.string().max(200).exactOptional(),
  'if-none-match': z.string().max(2000).exactOptional(),
});
export const idempotent = z.looseObject({
  'idempotency-key': z
    .string()
    .regex(/^[\x21-\x7e]{1,120}$/)
    .exactOptional(),
});
