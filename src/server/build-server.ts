import swagger from '@fastify/swagger';
import fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify';
import { z } from 'zod';
import { API_PATHS, API_PREFIX, type ApiName } from '../api/paths.ts';
import { PROBLEM_TYPE, problemSchema } from '../api/problem.ts';
import { type ApiCaller, type ApiRoute, MOST_BODY_BYTES } from '../api/route.ts';
import { ROUTES } from '../api/routes.ts';
import { BOOK_HEADER } from '../api/saved-answer.ts';
import { AppError } from '../core/errors.ts';
import { FOLDER_JSON, JSON_LIMITS, jsonProblem } from '../domain/json-limits.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import { accessHandlers } from './access-handlers.ts';
import { apiPage } from './api-page.ts';
import { backupHandlers, demoHandlers } from './backup-handlers.ts';
import { changeHandlers } from './change-handlers.ts';
import { CONNECTION_LIMITS, nodeLimits } from './connection-limits.ts';
import type { ServerDependencies } from './dependencies.ts';
import { etagsFor } from './etag.ts';
import { eventStreams } from './events.ts';
import { fileHandlers } from './file-handlers.ts';
import { folderHandlers } from './folder-handlers.ts';
import { type Caller, guardFor } from './guard.ts';
import type { HandledRequest, Handler, Handlers } from './handler.ts';
import { idempotencyFor, type SavedAnswer } from './idempotency.ts';
import { listHandlers } from './list-handlers.ts';
import { openApiOptions } from './open-api.ts';
import { photoHandlers } from './photo-handlers.ts';
import { faultOfFramework, invalid, isZodError, plainFault, problemOf } from './problem-answers.ts';
import { recordHandlers } from './record-handlers.ts';
import { SECURITY_HEADERS } from './security-headers.ts';
import { shareHandlers } from './share-handlers.ts';
import { pageFiles } from './static-page.ts';
import { workHandlers } from './work-handlers.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    who?: ApiCaller;
  }
  interface FastifyRequest {
    caller: Caller;
  }
}

/** Calls whose key the journal keeps as well. */
const IN_JOURNAL: readonly ApiName[] = ['makeChange', 'makeRecord', 'savePhoto', 'acceptPhotos'];

/**
 * The server over an open book: every route of the table with its checks, the page, the API's own page.
 * Holds:   who may come in is settled before a body is read; nothing that is thrown reaches the process
 */
export async function buildServer(parts: ServerDependencies): Promise<FastifyInstance> {
  const limits = parts.limits ?? CONNECTION_LIMITS;
  const app = fastify({
    logger: false,
    bodyLimit: MOST_BODY_BYTES,
    http: nodeLimits(limits),
    // The framework sets these two again after the server is made.
    requestTimeout: limits.requestMs,
    keepAliveTimeout: limits.idleMs,
    forceCloseConnections: true,
    exposeHeadRoutes: false,
    onProtoPoisoning: 'error',
    onConstructorPoisoning: 'error',
    routerOptions: { maxParamLength: 200 },
    // Paths the router itself gives up on come past no hook.
    frameworkErrors: (thrown, _, reply) => {
      const problem = problemOf(faultOf(thrown));
      return (reply as unknown as FastifyReply)
        .code(problem.status)
        .headers(SECURITY_HEADERS)
        .type(PROBLEM_TYPE)
        .send(JSON.stringify(problem));
    },
  });
  app.server.maxConnections = limits.most;
  const guard = guardFor(parts);
  const once = await idempotencyFor(parts.side, parts.nowEpochMs);
  const events = eventStreams(parts);
  const fresh = etagsFor(parts.book);
  const handlers: Handlers = {
    ...accessHandlers(parts, guard),
    ...recordHandlers(parts, fresh),
    ...listHandlers(parts, fresh),
    ...changeHandlers(parts),
    ...fileHandlers(parts),
    ...photoHandlers(parts),
    ...workHandlers(parts),
    ...backupHandlers(parts),
    ...demoHandlers(parts),
    ...folderHandlers(parts),
    ...shareHandlers(parts),
    events: events.handler,
  };

  app.setValidatorCompiler<z.ZodType>(({ schema }) => (sent: unknown) => {
    const read = schema.safeParse(sent);
    return read.success ? { value: read.data } : { error: read.error };
  });
  app.setSerializerCompiler(() => (answer) => JSON.stringify(answer));
  app.removeContentTypeParser(['text/plain', 'application/json']);
  const parseJson = app.getDefaultJsonParser('error', 'error');
  app.addContentTypeParser<string>(
    'application/json',
    { parseAs: 'string' },
    (request, text, done) => {
      const { who } = request.routeOptions.config;
      const problem = jsonProblem(text, who === 'folder' ? FOLDER_JSON : JSON_LIMITS);
      if (problem === undefined) parseJson(request, text, done);
      else done(tooMuchInBody(problem));
    },
  );
  app.addContentTypeParser(
    [...Object.keys(PHOTO_TYPES), 'application/octet-stream'],
    { parseAs: 'buffer' },
    (_, body, done) => done(null, body),
  );
  // A backup may be too large for memory, so its bytes are written to the disk while they arrive.
  app.addContentTypeParser('application/zip', (_, body, done) => done(null, body));
  app.decorateRequest('caller', null as unknown as Caller);
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS).header('cache-control', 'no-store');
    guard.checkListener(request);
    const { who } = request.routeOptions.config;
    if (who === undefined) return;
    const caller = guard.admit(request, who);
    request.caller = caller;
    if (caller.owner || caller.device !== undefined) reply.header(BOOK_HEADER, parts.bookName);
  });
  app.addHook('onResponse', async (request, reply) => {
    // No headers, bodies or queries: they hold tokens, codes and what the user searched for.
    const path = request.routeOptions.url ?? '(page)';
    const ms = Math.round(reply.elapsedTime);
    parts.log?.write(`${request.method} ${path} ${reply.statusCode} ${ms} ms\n`);
  });
  app.setErrorHandler((thrown, request, reply) => {
    const fault = faultOf(thrown);
    if (!(fault instanceof AppError) || fault.kind === 'internal') parts.onTrouble(thrown);
    const problem = problemOf(fault, request.headers['if-match'] !== undefined);
    const seconds = (problem.more as { seconds?: number } | undefined)?.seconds;
    if (seconds !== undefined) reply.header('retry-after', seconds);
    if (problem.status === 401) reply.header('www-authenticate', 'Bearer realm="Kneadwell"');
    return reply.code(problem.status).type(PROBLEM_TYPE).send(JSON.stringify(problem));
  });
  app.setNotFoundHandler((request, reply) => pageFiles(parts.page, request, reply));
  app.addHook('preClose', async () => events.end());

  await app.register(swagger, openApiOptions(parts.version));
  await app.register(
    async (api) => {
      for (const name of Object.keys(ROUTES) as ApiName[]) {
        addRoute(api, name, ROUTES[name], handlers[name] as unknown as Handler<never>);
      }
      api.get('/openapi.json', { config: { who: 'paired' }, schema: { hide: true } }, async () =>
        app.swagger(),
      );
    },
    { prefix: API_PREFIX },
  );
  apiPage(app);
  await app.ready();
  return app;

  function addRoute(
    api: FastifyInstance,
    name: ApiName,
    route: ApiRoute,
    handler: Handler<never>,
  ): void {
    const { method, path } = API_PATHS[name];
    const { params, query, headers, body, answer, status = 200 } = route;
    const checked = answer instanceof z.ZodType && parts.checkAnswers === true ? answer : undefined;
    api.route({
      method,
      url: path,
      config: { who: route.who },
      bodyLimit: route.mostBytes ?? MOST_BODY_BYTES,
      schema: {
        operationId: name,
        summary: route.says,
        ...(params === undefined ? {} : { params }),
        ...(query === undefined ? {} : { querystring: query }),
        ...(headers === undefined ? {} : { headers }),
        ...(body instanceof z.ZodType ? { body } : {}),
        response: {
          [status]: answer instanceof z.ZodType ? answer : z.any(),
          default: problemSchema,
        },
      },
      async handler(request, reply) {
        if (body === 'bytes' && !Buffer.isBuffer(request.body)) throw noBytes();
        if (body === 'stream' && !isStream(request.body)) throw noBytes();
        const key = keyOf(request);
        const by = request.caller.device?.name;
        const asked: HandledRequest = {
          caller: request.caller,
          request,
          reply,
          ...(by === undefined ? {} : { by }),
          ...(key === undefined ? {} : { key }),
        };
        const work = async (): Promise<SavedAnswer | undefined> => {
          const heard = { params: request.params, query: request.query, body: request.body };
          const answer = await handler(heard as never, asked);
          if (answer === undefined) return undefined;
          checked?.parse(answer.body);
          return {
            status: answer.status ?? status,
            headers: answer.headers ?? {},
            body: answer.body,
          };
        };
        const answer = key === undefined ? await work() : await keyed(key, request, name, work);
        // The handler answered by itself: a stream, or nothing new.
        if (answer === undefined) return reply;
        reply.code(answer.status).headers(answer.headers);
        if (answer.status === 204) return reply.send();
        if (answer.body instanceof Uint8Array) return reply.send(answer.body);
        return reply.type('application/json; charset=utf-8').send(JSON.stringify(answer.body));
      },
    });
  }

  async function keyed(
    key: string,
    request: FastifyRequest,
    name: ApiName,
    work: () => Promise<SavedAnswer | undefined>,
  ): Promise<SavedAnswer> {
    const said = Buffer.isBuffer(request.body)
      ? request.body
      : [request.method, request.url, request.body];
    const inJournal = IN_JOURNAL.includes(name);
    const { answer } = await once.do({ key, said, inJournal }, async () => (await work())!);
    return answer;
  }
}

/** A key is one device's own: two that happen to choose the same one do not get each other's answers. */
function keyOf({ method, headers, caller }: FastifyRequest): string | undefined {
  const key = headers['idempotency-key'];
  if (method !== 'POST' || typeof key !== 'string') return undefined;
  return `${caller.device?.id ?? 'owner'}:${key}`;
}

function faultOf(thrown: unknown): unknown {
  if (thrown instanceof AppError) return thrown;
  if (isZodError(thrown)) {
    // Only what the framework checked on the way in carries where it stood.
    return thrown.validationContext === undefined
      ? thrown
      : invalid(thrown, thrown.validationContext);
  }
  return faultOfFramework(thrown as { code?: string; statusCode?: number }) ?? thrown;
}

function isStream(body: unknown): boolean {
  return typeof body === 'object' && body !== null && Symbol.asyncIterator in body;
}

function tooMuchInBody(problem: string) {
  return plainFault(
    'body-too-much',
    'bad-input',
    `The body has ${problem}. Nothing of it was read.`,
    'Send less at once.',
  );
}

function noBytes() {
  return plainFault(
    'body-of-other-type',
    'bad-input',
    'No file came.',
    'Send the file itself as the body, with its kind as Content-Type.',
  );
}
