import type { z } from 'zod';
import { ACCESS_ROUTES } from './access-routes.ts';
import { BACKUP_ROUTES } from './backup-routes.ts';
import { BOOK_ROUTES } from './book-routes.ts';
import { CLAY_ROUTES } from './clay-routes.ts';
import { FOLDER_ROUTES } from './folder-routes.ts';
import { JOB_ROUTES } from './job-routes.ts';
import { LIST_ROUTES } from './list-routes.ts';
import type { ApiName } from './paths.ts';
import { PHOTO_ROUTES } from './photo-routes.ts';
import type { ApiRoutes } from './route.ts';
import { SHARE_ROUTES } from './share-routes.ts';

/**
 * Every call of the API with the schemas that check it; server, client types and the OpenAPI document
 * are made from this one table.
 */
export const ROUTES = {
  ...ACCESS_ROUTES,
  ...BOOK_ROUTES,
  ...LIST_ROUTES,
  ...CLAY_ROUTES,
  ...PHOTO_ROUTES,
  ...JOB_ROUTES,
  ...BACKUP_ROUTES,
  ...FOLDER_ROUTES,
  ...SHARE_ROUTES,
} as const satisfies ApiRoutes;

type Routes = typeof ROUTES;
type InputOf<T> = T extends z.ZodType
  ? z.input<T>
  : T extends 'bytes' | 'stream'
    ? Uint8Array | Blob
    : never;
type OutputOf<T> = T extends z.ZodType
  ? z.output<T>
  : T extends 'bytes'
    ? Uint8Array
    : T extends 'stream'
      ? AsyncIterable<Uint8Array>
      : undefined;
type Part<N extends ApiName, P extends string> = P extends keyof Routes[N] ? Routes[N][P] : never;
type Needed<P extends string, T> = [T] extends [never]
  ? unknown
  : Partial<T> extends T
    ? { readonly [K in P]?: T }
    : { readonly [K in P]: T };

/** What a caller says. */
export type ApiInput<N extends ApiName> = Needed<'params', InputOf<Part<N, 'params'>>> &
  Needed<'query', InputOf<Part<N, 'query'>>> &
  Needed<'body', InputOf<Part<N, 'body'>>>;

/** What a handler hears, checked. */
export interface ApiRequest<N extends ApiName> {
  readonly params: OutputOf<Part<N, 'params'>>;
  readonly query: OutputOf<Part<N, 'query'>>;
  readonly body: OutputOf<Part<N, 'body'>>;
}

/** What comes back. */
export type ApiAnswer<N extends ApiName> = OutputOf<Part<N, 'answer'>>;
