import type { FastifyDynamicSwaggerOptions } from '@fastify/swagger';
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod';
import { API_PATHS, API_PREFIX, type ApiName, FOLDER_PASS_HEADER } from '../api/paths.ts';
import { PROBLEM_TYPE } from '../api/problem.ts';
import type { ApiCaller, ApiRoute } from '../api/route.ts';
import { ROUTES } from '../api/routes.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import { TOKEN_COOKIE } from './guard.ts';

/** The OpenAPI document, made from the schemas that check every request. Source: OpenAPI 3.1.1 */
export function openApiOptions(version: string): FastifyDynamicSwaggerOptions {
  return {
    openapi: {
      openapi: '3.1.1',
      info: {
        title: 'Kneadwell',
        version,
        description:
          'The mix book over HTTP. Units, records and faults are described in docs/api.md. Temperatures and times are records of what was done: the maker’s label decides how hot and how long.',
        license: { name: 'MIT', identifier: 'MIT' },
      },
      servers: [{ url: '/', description: 'Where the document came from' }],
      components: {
        securitySchemes: {
          token: { type: 'http', scheme: 'bearer' },
          cookie: { type: 'apiKey', in: 'cookie', name: TOKEN_COOKIE },
          folderPass: { type: 'apiKey', in: 'header', name: FOLDER_PASS_HEADER },
        },
      },
    },
    transform: jsonSchemaTransform,
    transformObject: (schema) => finished(jsonSchemaTransformObject(schema) as OpenApi) as never,
  };
}

interface Operation {
  requestBody?: unknown;
  security?: unknown;
  responses: Record<string, { description?: string; content?: Content }>;
}
interface OpenApi {
  readonly paths?: Record<string, Record<string, Operation>>;
  readonly components?: { schemas?: Record<string, unknown> };
}

/** The empty one stands for the owner's door, which asks for nothing. */
const SECURITY: Readonly<Record<ApiCaller, readonly object[]>> = {
  anyone: [{}, { token: [] }],
  paired: [{ token: [] }, { cookie: [] }, {}],
  owner: [{}],
  folder: [{ folderPass: [] }],
};
const FILE = { schema: { type: 'string', format: 'binary' } };

type Content = Record<string, unknown>;
/** What an answer holds that no schema describes. */
const CONTENT: Readonly<Record<Extract<ApiRoute['answer'], string>, Content | undefined>> = {
  bytes: { 'application/octet-stream': FILE },
  events: { 'text/event-stream': { schema: { type: 'string' } } },
  nothing: undefined,
};

/** What no schema says: files, streams, problems, and who may call. */
function finished(document: OpenApi): OpenApi {
  for (const name of Object.keys(ROUTES) as ApiName[]) {
    const route: ApiRoute = ROUTES[name];
    const { method, path } = API_PATHS[name];
    const url = `${API_PREFIX}${path.replace(/:(\w+)/g, '{$1}')}`;
    const operation = document.paths?.[url]?.[method.toLowerCase()];
    if (operation === undefined) continue;
    operation.security = SECURITY[route.who];
    if (route.body === 'bytes') {
      const sorts =
        route.who === 'folder' ? ['application/octet-stream'] : Object.keys(PHOTO_TYPES);
      const kinds = sorts.map((kind) => [kind, FILE]);
      operation.requestBody = { required: true, content: Object.fromEntries(kinds) };
    }
    if (route.body === 'stream') {
      operation.requestBody = { required: true, content: { 'application/zip': FILE } };
    }
    const status = String(route.status ?? 200);
    const { content: json, ...good } = operation.responses[status] ?? {};
    const content = typeof route.answer === 'string' ? CONTENT[route.answer] : json;
    operation.responses[status] = {
      ...good,
      description: 'As asked',
      ...(content === undefined ? {} : { content }),
    };
    operation.responses['4XX'] = {
      description: 'A problem, RFC 9457',
      content: { [PROBLEM_TYPE]: { schema: { $ref: '#/components/schemas/Problem' } } },
    };
    operation.responses['5XX'] = operation.responses['4XX'];
    delete operation.responses.default;
  }
  return withoutUnused(document);
}

/** Every schema is listed for requests and for answers; this removes those that nothing refers to. */
function withoutUnused(document: OpenApi): OpenApi {
  const { schemas = {} } = document.components ?? {};
  const used = new Set<string>();
  const waiting = [JSON.stringify(document.paths)];
  for (let text = waiting.pop(); text !== undefined; text = waiting.pop()) {
    for (const [, name] of text.matchAll(/"#\/components\/schemas\/([^"]+)"/g)) {
      if (name === undefined || used.has(name)) continue;
      used.add(name);
      waiting.push(JSON.stringify(schemas[name]));
    }
  }
  const kept = Object.entries(schemas).filter(([name]) => used.has(name));
  return { ...document, components: { ...document.components, schemas: Object.fromEntries(kept) } };
}
