import type { FastifyInstance } from 'fastify';

interface Operation {
  readonly operationId?: string;
  readonly summary?: string;
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
    readonly schema?: unknown;
  }[];
  readonly requestBody?: { readonly content?: Readonly<Record<string, { schema?: unknown }>> };
  readonly responses?: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { schema?: unknown }>> }>
  >;
}
interface Document {
  readonly info: { readonly version: string };
  readonly paths?: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components?: { readonly schemas?: Readonly<Record<string, unknown>> };
}

const STYLE = `:root{color-scheme:light;font:16px/1.5 system-ui,sans-serif;color:#1c1c1c;background:#fafafa}
body{max-width:52rem;margin:2rem auto;padding:0 1rem}
code,pre{font:14px/1.4 ui-monospace,monospace}pre{overflow:auto;background:#eee;padding:.5rem}
summary{cursor:pointer;padding:.25rem 0}summary code{font-weight:700}:focus-visible{outline:2px solid #000;box-shadow:0 0 0 4px #fff}
`;

/** A page to read the API on: no script, nothing from elsewhere, made from the same document. */
export function apiPage(app: FastifyInstance): void {
  let page: string | undefined;
  const options = { config: { who: 'paired' as const }, schema: { hide: true } };
  app.get('/api', options, async (_, reply) => {
    page ??= pageOf(app.swagger() as unknown as Document);
    return reply.type('text/html; charset=utf-8').send(page);
  });
  app.get('/api/page.css', options, async (_, reply) =>
    reply.type('text/css; charset=utf-8').send(STYLE),
  );
}

function pageOf({ info, paths = {}, components }: Document): string {
  const calls = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => callOf(path, method, operation)),
  );
  const shapes = Object.entries(components?.schemas ?? {}).map(
    ([name, shape]) =>
      `<details id="shape-${escaped(name)}"><summary><code>${escaped(name)}</code></summary>${json(shape)}</details>`,
  );
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>What can be asked of the book</title><link rel="stylesheet" href="/api/page.css"></head><body>
<h1>What can be asked of the book</h1>
<p>Version ${escaped(info.version)}. The same as <a href="/api/v1/openapi.json">OpenAPI</a>.</p>
<h2>Calls</h2>${calls.join('\n')}
<h2>Shapes</h2>${shapes.join('\n')}
</body></html>
`;
}

function callOf(path: string, method: string, operation: Operation): string {
  const { summary = '', parameters = [], requestBody, responses = {} } = operation;
  const words = parameters.map(
    (one) =>
      `<li><code>${escaped(one.name)}</code> (${escaped(one.in)}${one.required === true ? ', needed' : ''}) <code>${escaped(JSON.stringify(one.schema ?? {}))}</code></li>`,
  );
  const bodies = Object.entries(requestBody?.content ?? {}).map(
    ([type, { schema }]) => `<p>Body, <code>${escaped(type)}</code></p>${json(schema)}`,
  );
  const answers = Object.entries(responses).flatMap(([status, { content = {} }]) =>
    Object.entries(content).map(
      ([type, { schema }]) =>
        `<p>Answer ${escaped(status)}, <code>${escaped(type)}</code></p>${json(schema)}`,
    ),
  );
  return `<details id="${escaped(operation.operationId ?? path)}"><summary><code>${method.toUpperCase()} ${escaped(path)}</code> ${escaped(summary)}</summary><ul>${words.join('')}</ul>${bodies.join('')}${answers.join('')}</details>`;
}

function json(value: unknown): string {
  return `<pre>${escaped(JSON.stringify(value ?? {}, undefined, 2))}</pre>`;
}

function escaped(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
