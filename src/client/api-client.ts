import { API_PATHS, API_PREFIX, type ApiName, FOLDER_PASS_HEADER } from '../api/paths.ts';
import type { Problem } from '../api/problem.ts';
import type { ApiAnswer, ApiInput } from '../api/routes.ts';
import { AppError } from '../core/errors.ts';

export interface ClientOptions {
  /** `http://127.0.0.1:4747`; empty in a page, which is served from the same place. */
  readonly baseUrl: string;
  /** Of a paired program; a page has its cookie. */
  readonly token?: string;
  /** Of the program beside the book: tells that the right one was reached. */
  readonly folderPass?: string;
  readonly fetch?: typeof fetch;
}

/** What stands beside the words of a call. */
export interface CallOptions {
  /** Version of the record as it was seen; `none` where it must not be there yet. */
  readonly version?: number | 'none';
  /** As `etag` of an earlier answer gave it: an answer that is the same comes back empty, with 304. */
  readonly known?: string;
  /** The same key twice does the same thing once. */
  readonly key?: string;
  /** Kind of the bytes sent; of a Blob its own where absent. */
  readonly mediaType?: string;
  readonly signal?: AbortSignal;
}

export interface Reply<N extends ApiName> {
  readonly status: number;
  /** Absent with 304 alone. */
  readonly body: ApiAnswer<N>;
  readonly etag?: string;
  readonly mediaType?: string;
}

export interface ApiClient {
  /** Refuses: whatever the server refuses, as the same AppError; no server -> server-away (unavailable) */
  call<N extends Exclude<ApiName, 'events'>>(
    name: N,
    input: ApiInput<N>,
    options?: CallOptions,
  ): Promise<Reply<N>>;
  readonly options: ClientOptions;
}

/** Calls of the API with the types of the route table, in a browser and in Node. */
export function apiClient(options: ClientOptions): ApiClient {
  const ask = options.fetch ?? ((...call: Parameters<typeof fetch>) => fetch(...call));
  return {
    options,
    async call(name, input, more = {}) {
      const { method } = API_PATHS[name];
      const said = input as Said;
      const { body, type } = bodyOf(said.body, more.mediaType);
      const headers: Record<string, string> = { accept: 'application/json', ...tokenOf(options) };
      if (type !== undefined) headers['content-type'] = type;
      if (more.version === 'none') headers['if-none-match'] = '*';
      else if (more.version !== undefined) headers['if-match'] = `"${more.version}"`;
      if (more.known !== undefined) headers['if-none-match'] = more.known;
      if (more.key !== undefined) headers['idempotency-key'] = more.key;
      let response: Response;
      try {
        response = await ask(urlOf(options.baseUrl, name, said), {
          method,
          headers,
          credentials: 'same-origin',
          ...(body === undefined ? {} : { body }),
          ...(more.signal === undefined ? {} : { signal: more.signal }),
        });
      } catch (thrown) {
        throw serverAway(options.baseUrl, thrown);
      }
      if (!response.ok && response.status !== 304) throw await faultOf(response);
      return (await replyOf(response)) as Reply<typeof name>;
    },
  };
}

interface Said {
  readonly params?: Readonly<Record<string, unknown>>;
  readonly query?: Readonly<Record<string, unknown>>;
  readonly body?: unknown;
}

/** Address of a call, for a picture or a link as well. */
export function urlOf(baseUrl: string, name: ApiName, { params, query }: Said): string {
  const path = API_PATHS[name].path.replace(/:(\w+)/g, (_, word: string) =>
    encodeURIComponent(String(params?.[word])),
  );
  const asked = new URLSearchParams();
  for (const [word, value] of Object.entries(query ?? {})) {
    if (value === undefined) continue;
    for (const one of Array.isArray(value) ? value : [value]) asked.append(word, String(one));
  }
  const text = asked.toString();
  return `${baseUrl}${API_PREFIX}${path}${text === '' ? '' : `?${text}`}`;
}

export function tokenOf({ token, folderPass }: ClientOptions): Record<string, string> {
  return {
    ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
    ...(folderPass === undefined ? {} : { [FOLDER_PASS_HEADER]: folderPass }),
  };
}

type SentBody = NonNullable<RequestInit['body']>;

function bodyOf(sent: unknown, mediaType: string | undefined): { body?: SentBody; type?: string } {
  if (sent === undefined) return {};
  if (sent instanceof Blob) return { body: sent, type: mediaType ?? sent.type };
  if (sent instanceof Uint8Array) {
    return { body: sent as SentBody, type: mediaType ?? 'application/octet-stream' };
  }
  return { body: JSON.stringify(sent), type: 'application/json' };
}

async function replyOf(response: Response) {
  const etag = response.headers.get('etag') ?? undefined;
  const mediaType = response.headers.get('content-type')?.split(';')[0];
  const empty = response.status === 204 || response.status === 304;
  const body = empty
    ? undefined
    : mediaType === 'application/json' && !response.headers.has('content-disposition')
      ? await response.json()
      : new Uint8Array(await response.arrayBuffer());
  return {
    status: response.status,
    body,
    ...(etag === undefined ? {} : { etag }),
    ...(mediaType === undefined ? {} : { mediaType }),
  };
}

/** The fault a problem tells of. */
export async function faultOf(response: Response): Promise<AppError> {
  let problem: Partial<Problem> = {};
  try {
    problem = (await response.json()) as Problem;
  } catch {
    // Something else answered there; said below.
  }
  const { code, kind, detail, hint, retry, more, fields } = problem;
  if (code === undefined || kind === undefined) return notOurs(response.status);
  return new AppError({
    code,
    kind,
    detail: detail ?? '',
    hint: hint ?? '',
    retry: retry ?? false,
    ...(more === undefined && fields === undefined
      ? {}
      : { more: { ...more, ...(fields === undefined ? {} : { fields }) } }),
  });
}

function notOurs(status: number): AppError {
  return new AppError({
    code: 'answer-unreadable',
    kind: 'unavailable',
    detail: `Something answered with ${status}, but not as Kneadwell does.`,
    hint: 'Check whether another program listens at this address.',
  });
}

function serverAway(baseUrl: string, thrown: unknown): unknown {
  if (thrown instanceof Error && thrown.name === 'AbortError') return thrown;
  return new AppError({
    code: 'server-away',
    kind: 'unavailable',
    detail: `Kneadwell does not answer${baseUrl === '' ? '' : ` at ${baseUrl}`}.`,
    hint: 'Check whether Kneadwell is still running, and start it again if not.',
    retry: true,
    cause: thrown,
  });
}
