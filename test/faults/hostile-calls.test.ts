import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { API_PREFIX } from '../../src/api/paths.ts';
import { CONNECTION_LIMITS } from '../../src/server/connection-limits.ts';
import { done, ended, type Running, rawCall, running } from '../server/running.ts';

let here: Running;
let home: string;
beforeAll(async () => {
  here = await running();
  [home] = (await here.client.call('setNetwork', { body: { on: true } })).body.urls;
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
});

const api = (base: string, path: string) => `${base}${API_PREFIX}${path}`;
const json = (body: string, headers: Record<string, string> = {}) => ({
  method: 'POST',
  headers: { 'content-type': 'application/json', ...headers },
  body,
});
const problem = (text: string) => JSON.parse(text) as { code: string; detail: string };

async function paired(server: Running, base: string, name = 'Phone') {
  const { code } = (await server.client.call('startPairing', {})).body;
  const call = json(JSON.stringify({ code, name, as: 'program' }));
  const { token } = JSON.parse((await rawCall(api(base, '/pair'), call)).text) as { token: string };
  return { authorization: `Bearer ${token}` };
}

describe('a body that was made to be hard', () => {
  const large = (one: (i: number) => string, count: number) =>
    Array.from({ length: count }, (_, i) => one(i)).join(',');
  it.each([
    ['fields nobody knows', `{${large((i) => `"k${i}":0`, 1_500_000)}}`, 'more than 1000 fields'],
    [
      'steps that are none',
      `{"what":"x","steps":[${large(() => '0', 3_000_000)}]}`,
      'more than 20000 values',
    ],
    ['lists in lists', `${'['.repeat(500_000)}${']'.repeat(500_000)}`, 'more than 64 levels'],
    ['objects in objects', `${'{"a":'.repeat(100)}0${'}'.repeat(100)}`, 'more than 64 levels'],
    [
      'many lists, each small enough',
      `[${large(() => `[${large(() => '0', 1000)}]`, 1100)}]`,
      'more than 1000000 values',
    ],
  ])('is refused before it is checked: %s', async (_, body, says) => {
    const answer = await rawCall(api(here.server.url, '/changes'), json(body));
    expect(answer.status).toBe(413);
    expect(problem(answer.text)).toMatchObject({ code: 'body-too-much' });
    expect(problem(answer.text).detail).toContain(says);
  });

  it('is not refused for brackets and commas inside texts', async () => {
    const note = `Kelp \\\\\\" [${'[,{'.repeat(100)}`;
    const body = `{"kind":"line","body":{"name":"Lantern","status":"current","note":"${note}"}}`;
    const answer = await rawCall(api(here.server.url, '/records'), json(body));
    expect(answer.status).toBe(201);
    expect(JSON.parse(answer.text).body.note).toBe(JSON.parse(`"${note}"`));
  });
});

describe('pasted notes that were made to be hard', () => {
  it('are read on another thread, and end with a list of errors that has an end', async () => {
    const text = `${'N '.repeat(999)}\n`.repeat(200);
    const names = Array.from({ length: 100 }, (_, i) => `Name of clay ${'x'.repeat(i)}`);
    const { body: line } = await here.client.call('makeRecord', {
      body: { kind: 'line', body: { name: 'Brindle', status: 'current' } },
    });
    const steps = names.map((name, i) => ({
      do: 'put' as const,
      kind: 'block' as const,
      body: {
        lineId: line.id,
        name: `${name}${i}`,
        clayType: 'opaque' as const,
        status: 'current' as const,
      },
    }));
    await here.client.call('makeChange', { body: { what: 'Blocks', steps } });
    const job = await done(here.client, {
      do: 'import',
      as: 'shorthand',
      fileName: 'page',
      text,
      check: true,
    });
    expect(job).toMatchObject({ state: 'failed', problem: { code: 'shorthand-unreadable' } });
    const { errors } = job.problem!.more as { errors: unknown[] };
    expect(errors).toHaveLength(200);
  });
});

describe('what only the owner may do', () => {
  it.each(['backup', 'doctor'] as const)(
    'is refused to a device as a job too: %s',
    async (work) => {
      const headers = await paired(here, home);
      const call = json(JSON.stringify({ do: work }), headers);
      const asked = await rawCall(api(home, '/jobs'), call);
      expect([asked.status, problem(asked.text).code]).toEqual([403, 'owner-only']);
      const { body: own } = await here.client.call('startJob', { body: { do: work } });
      await ended(here.client, own.id);
      for (const [path, method] of [
        [`/jobs/${own.id}`, 'GET'],
        [`/jobs/${own.id}/cancel`, 'POST'],
      ] as const) {
        const answer = await rawCall(api(home, path), { method, headers });
        expect([path, answer.status]).toEqual([path, 403]);
      }
      const list = await rawCall(api(home, '/jobs'), { headers });
      expect(list.status).toBe(200);
      for (const answered of [list.text, asked.text]) {
        expect(answered).not.toContain(here.folder);
        expect(answered).not.toContain(own.id);
      }
    },
  );
});

describe('streams of events', () => {
  const opened = async (base: string, headers: Record<string, string> = {}) => {
    const stop = new AbortController();
    const answer = await fetch(api(base, '/events'), { headers, signal: stop.signal });
    if (!answer.ok) await answer.text();
    return { status: answer.status, stop: () => stop.abort() };
  };

  it('are shared out: neither programs of this computer nor one device can take those of others', async () => {
    const streams: Awaited<ReturnType<typeof opened>>[] = [];
    const untilRefused = async (base: string, headers?: Record<string, string>) => {
      for (let count = 0; ; count++) {
        const stream = await opened(base, headers);
        if (stream.status !== 200) {
          expect(stream.status).toBe(503);
          return count;
        }
        streams.push(stream);
      }
    };
    const [first, second] = [await paired(here, home, 'One'), await paired(here, home, 'Two')];
    expect(await untilRefused(here.server.url)).toBe(100);
    expect(await untilRefused(home, first)).toBe(8);
    expect(await untilRefused(home, second)).toBe(8);
    for (const { stop } of streams) stop();
  });
});

describe('callers who never finish', () => {
  it('are closed, at both doors, and the next caller is served', async () => {
    const limits = {
      ...CONNECTION_LIMITS,
      headersMs: 300,
      requestMs: 600,
      idleMs: 300,
      lookMs: 50,
    };
    const server = await running({ limits });
    const [other] = (await server.client.call('setNetwork', { body: { on: true } })).body.urls;
    const head = (url: URL) => `POST ${API_PREFIX}/pair HTTP/1.1\r\nHost: ${url.host}\r\n`;
    const body = 'Content-Type: application/json\r\nContent-Length: 100\r\n\r\n{"code":';
    const closed: Promise<unknown>[] = [];
    const slow: Socket[] = [];
    for (const url of [new URL(server.server.url), new URL(other)]) {
      for (const sent of ['', 'P', head(url), `${head(url)}${body}`]) {
        const socket = connect({ host: url.hostname, port: Number(url.port) });
        socket.on('error', () => {});
        closed.push(once(socket, 'close'));
        socket.resume();
        await once(socket, 'connect');
        if (sent !== '') socket.write(sent);
        slow.push(socket);
      }
    }
    await Promise.all(closed);
    expect(slow.every(({ destroyed }) => destroyed)).toBe(true);
    expect((await rawCall(api(server.server.url, '/health'))).status).toBe(200);
    expect((await rawCall(api(other, '/health'))).status).toBe(200);
    await server.end();
  });

  it('cannot hold more connections than there are, and the home network has its own', async () => {
    const server = await running({ limits: { ...CONNECTION_LIMITS, most: 5 } });
    const [other] = (await server.client.call('setNetwork', { body: { on: true } })).body.urls;
    const url = new URL(server.server.url);
    const sockets: Socket[] = [];
    const gone: Promise<unknown>[] = [];
    for (let i = 0; i < 12; i++) {
      const socket = connect({ host: url.hostname, port: Number(url.port) });
      socket.on('error', () => {}).resume();
      await once(socket, 'connect');
      gone.push(once(socket, 'close'));
      sockets.push(socket);
    }
    // At least seven of twelve are over the limit; one more connection may be the test's own client's.
    await Promise.all([Promise.race(gone), rawCall(api(other, '/health'))]);
    for (const socket of sockets) socket.destroy();
    await Promise.all(gone);
    await server.end();
  });
});
