import type { InjectOptions } from 'fastify';
import { problemSchema } from '../../../src/api/problem.ts';
import { block, line, mix, tile } from '../../conformance/book-maker.ts';
import { running } from '../../server/running.ts';
import { type Chance, chanceFrom, damaged, NASTY } from './random.ts';
import { fitting, type Known, type Schema, spoilt } from './random-json.ts';

interface Parameter {
  readonly name: string;
  readonly in: string;
  readonly schema: Schema;
}
interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly Parameter[];
  readonly requestBody?: { readonly content: Readonly<Record<string, { schema: Schema }>> };
}
interface Document {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, Schema>> };
}

export interface Fuzzed {
  readonly inputs: number;
  /** Answers by status. */
  readonly answers: ReadonlyMap<number, number>;
  readonly slowestMs: number;
}

/** A call that takes longer hangs. */
const MOST_MS = 20_000;
/** Inputs to one book; then a new one, so that what is kept does not grow without end. */
const ONE_BOOK = 10_000;

/**
 * Calls of every route, made from its schema and mostly spoilt.
 * Refuses: an answer of 500, a problem that is none, a call that hangs, a fault nobody foresaw
 */
export async function fuzzEndpoints(inputs: number, seed: number): Promise<Fuzzed> {
  const answers = new Map<number, number>();
  let slowestMs = 0;
  for (let done = 0; done < inputs; done += ONE_BOOK) {
    const chance = chanceFrom(seed + done);
    const here = await running({ checkAnswers: true });
    try {
      const { app } = here.server;
      const document = app.swagger() as unknown as Document;
      const known = { schemas: document.components.schemas, ids: await fill(here) };
      const calls = Object.entries(document.paths).flatMap(([path, methods]) =>
        Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
      );
      for (let i = 0; i < Math.min(ONE_BOOK, inputs - done); i++) {
        const { path, method, operation } = chance.pick(calls);
        // Streams do not end, and long work would only be waited for; both have tests of their own.
        if (operation.operationId === 'events') continue;
        const call = callOf(path, method, operation, known, chance);
        if (isLongWork(call.payload)) continue;
        const from = performance.now();
        const answer = await withoutHanging(app.inject(call), call);
        slowestMs = Math.max(slowestMs, performance.now() - from);
        answers.set(answer.statusCode, (answers.get(answer.statusCode) ?? 0) + 1);
        if (answer.statusCode >= 400) check(answer, call);
        if (here.troubles.length > 0) throw reply('a fault nobody foresaw', call, here.troubles[0]);
      }
      if ((await here.client.call('health', {})).status !== 200) throw new Error('not healthy');
    } finally {
      await here.end();
    }
  }
  return { inputs, answers, slowestMs };
}

async function fill({ client }: Awaited<ReturnType<typeof running>>): Promise<readonly string[]> {
  const steps = [
    line('salt'),
    block('kelp', 'salt'),
    block('foam', 'salt'),
    mix('moss', [['block', 'kelp', 2]]),
    tile('t1', 'moss'),
  ];
  await client.call('makeChange', { body: { what: 'Began', steps: steps as never } });
  return ['salt', 'kelp', 'foam', 'moss', 't1', 'settings'];
}

function callOf(
  path: string,
  method: string,
  { parameters = [], requestBody }: Operation,
  known: Known,
  chance: Chance,
): InjectOptions & { readonly payload?: string | Buffer } {
  const headers: Record<string, string> = {};
  const query: string[] = [];
  let url = path;
  for (const { name, in: where, schema } of parameters) {
    const fits = fitting(schema, known, chance);
    const value = String(chance.maybe(0.2) ? chance.pick(NASTY) : fits);
    if (where === 'path')
      url = url.replace(`{${name}}`, () => encodeURIComponent(wellFormed(value)));
    else if (chance.maybe(0.3)) continue;
    else if (where === 'query') query.push(`${name}=${encodeURIComponent(wellFormed(value))}`);
    else if (name === 'if-match') headers[name] = chance.pick(['"1"', '"2"', '*', '"x"', '']);
    else headers[name] = value.replace(/[^\x21-\x7e]/g, '?').slice(0, 300);
  }
  if (chance.maybe(0.02))
    query.push(chance.pick(['a=1', '%', '&&=', 'limit=1&limit=2', '%ff=%00']));
  const call = { method: method.toUpperCase() as 'GET', url: `${url}?${query.join('&')}`, headers };
  if (requestBody === undefined) return call;
  const [type] = Object.keys(requestBody.content);
  if (type !== 'application/json') {
    headers['content-type'] = chance.pick(Object.keys(requestBody.content));
    return { ...call, payload: Buffer.from(damaged(chance.pick(PICTURES), chance)) };
  }
  headers['content-type'] = type;
  let body = fitting(requestBody.content[type].schema, known, chance);
  for (let i = chance.below(3); i > 0; i--) body = spoilt(body, chance);
  const text = JSON.stringify(body) ?? '';
  if (!chance.maybe(0.05)) return { ...call, payload: text };
  return { ...call, payload: Buffer.from(damaged(new TextEncoder().encode(text), chance)) };
}

function isLongWork(payload: string | Buffer | undefined): boolean {
  return /"do":"(?:verify|backup)"/.test(payload?.toString() ?? '');
}

function wellFormed(text: string): string {
  return text.replace(/[\ud800-\udfff]/g, '\ufffd');
}

const PICTURES: readonly Uint8Array[] = [
  // Heads of pictures: 40 by 30 pixels each.
  Buffer.from('89504e470d0a1a0a0000000d49484452000000280000001e0802000000', 'hex'),
  Buffer.from('ffd8ffe000104a46494600010100000100010000ffc0000b08001e002801011100', 'hex'),
  Buffer.from('49492a00080000000200000103000100000028000000010103000100000001e000000000', 'hex'),
  Buffer.from('524946462000000057454250565038580a000000000000002700001d0000', 'hex'),
];

function check(answer: { statusCode: number; payload: string }, call: InjectOptions): void {
  const { statusCode, payload } = answer;
  let problem: unknown;
  try {
    problem = JSON.parse(payload);
  } catch {
    throw reply(`an answer that is no JSON (${statusCode})`, call, payload.slice(0, 200));
  }
  const read = problemSchema.safeParse(problem);
  if (!read.success) throw reply(`a problem that is none (${statusCode})`, call, payload);
  // "Not just now" is an answer; "unforeseen" is none.
  if (statusCode >= 500 && !(statusCode === 503 && read.data.retry)) {
    throw reply(`an answer of ${statusCode}`, call, payload);
  }
}

async function withoutHanging<T>(work: Promise<T>, call: InjectOptions): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(reply('a call that hangs', call, '')), MOST_MS);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}

function reply(what: string, call: InjectOptions, cause: unknown): Error {
  const { method, url, headers, payload } = call;
  const sent = JSON.stringify({
    method,
    url,
    headers,
    payload: payload?.toString().slice(0, 3000),
  });
  return new Error(`${what}: ${sent} ${cause instanceof Error ? cause.stack : String(cause)}`);
}
