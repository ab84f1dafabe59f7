import type { FastifyReply, FastifyRequest } from 'fastify';
import type { ApiName } from '../api/paths.ts';
import type { ApiAnswer, ApiRequest } from '../api/routes.ts';
import type { Caller } from './guard.ts';

/** An answer as a handler gives it; lists may be lists nobody changes. */
export type Frozen<T> = T extends Uint8Array
  ? T
  : T extends readonly (infer E)[]
    ? readonly Frozen<E>[]
    : T extends object
      ? { readonly [K in keyof T]: Frozen<T[K]> }
      : T;

export interface ApiReply<N extends ApiName> {
  readonly body: Frozen<ApiAnswer<N>>;
  readonly status?: number;
  readonly headers?: Readonly<Record<string, string>>;
}

export interface HandledRequest {
  readonly caller: Caller;
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
  /** As the journal names who changed something. */
  readonly by?: string;
  /** Key of a call sent again, made different for every device. */
  readonly key?: string;
}

/** Undefined: the handler has answered by itself. */
export type Handler<N extends ApiName> = (
  heard: ApiRequest<N>,
  asked: HandledRequest,
) => Promise<ApiReply<N> | undefined>;

export type Handlers<N extends ApiName = ApiName> = { readonly [K in N]: Handler<K> };

/** Tag of what hangs on nothing but a version. */
export const versionTag = (version: number) => `"${version}"`;

export function tagMatches(header: string | undefined, tag: string): boolean {
  if (header === undefined) return false;
  const weak = (text: string) => text.trim().replace(/^W\//, '');
  return header.split(',').some((one) => weak(one) === weak(tag) || one.trim() === '*');
}
