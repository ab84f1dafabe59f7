// npm run load [-- --seconds 60 --devices 20 --mixes 1000,100000]: paired devices at one server,
// which runs as a process of its own. No answer may be an error; the slowest hundredth is printed.
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { type ApiClient, apiClient } from '../src/client/api-client.ts';
import { followEvents } from '../src/client/event-stream.ts';
import { startServer } from '../src/main/serve.ts';
import { bookChance, fillBook } from './large-book.ts';
import { quantile } from './random.ts';

const HOME = '127.0.0.2';
/** Between two calls of one device, as a person who taps fast. */
const THINK_MS = 40;
/** Half requests held open at each listener. */
const HALF = 100;

const { values } = parseArgs({
  options: {
    seconds: { type: 'string', default: '60' },
    devices: { type: 'string', default: '20' },
    mixes: { type: 'string', default: '1000,100000' },
    serve: { type: 'string' },
  },
});

// One code at a time: a new code makes the one before invalid.
let pairing: Promise<string> = Promise.resolve('');

if (values.serve !== undefined) await serveHere(values.serve);
else {
  for (const mixes of values.mixes.split(',').map(Number)) await measure(mixes);
}

/** The other process: prints its address, then serves until its input ends. */
async function serveHere(folder: string): Promise<void> {
  const from = performance.now();
  const server = await startServer(folder, {
    version: '0.0.0-load',
    port: 0,
    dailyBackups: false,
    networkAddresses: () => [HOME],
  });
  console.log(JSON.stringify({ url: server.url, readyMs: performance.now() - from }));
  await server.book.index.ready;
  console.log(JSON.stringify({ searchMs: performance.now() - from }));
  const before = process.cpuUsage();
  process.stdin.resume();
  await new Promise((resolve) => process.stdin.on('end', resolve));
  const { user, system } = process.cpuUsage(before);
  const rssMb = Math.round(process.memoryUsage().rss / 2 ** 20);
  console.log(JSON.stringify({ rssMb, cpuMs: (user + system) / 1000 }));
  await server.close();
}

async function measure(mixes: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-load-'));
  let child: ChildProcess | undefined;
  try {
    await fillBook(folder, mixes);
    const loader = fileURLToPath(
      new URL('../node_modules/tsx/dist/esm/index.mjs', import.meta.url),
    );
    const self = fileURLToPath(import.meta.url);
    child = spawn(process.execPath, ['--import', loader, self, '--serve', folder], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    const ended = new Promise((resolve) => child?.on('close', resolve));
    const lines = createInterface({ input: child.stdout! })[Symbol.asyncIterator]();
    const said = async () => JSON.parse((await lines.next()).value as string);
    const { url, readyMs } = await said();
    const { searchMs } = await said();
    console.log(
      `${mixes} mixes: answered after ${readyMs.toFixed(0)} ms, searched after ${searchMs.toFixed(0)} ms`,
    );
    const calls = await devices(url, mixes);
    child.stdin!.end();
    const { rssMb, cpuMs } = await said();
    // Processor time depends less on the load of the machine than clock time does.
    console.log(
      `  the server held ${rssMb} MB, and worked ${(cpuMs / calls).toFixed(2)} ms a call with its events`,
    );
    await ended;
  } finally {
    child?.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Number of calls made. */
async function devices(url: string, mixes: number): Promise<number> {
  const owner = apiClient({ baseUrl: url });
  const [home] = (await owner.call('setNetwork', { body: { on: true } })).body.urls;
  const seconds = Number(values.seconds);
  const times = new Map<string, number[]>();
  const faults = new Map<string, number>();
  let heard = 0;
  let changes = 0;
  const stop = new AbortController();
  const until = performance.now() + seconds * 1000;

  const work = async (number: number) => {
    const client = await paired(owner, home, number);
    const following = followEvents(
      client.options,
      {
        change: () => {
          heard++;
        },
      },
      { signal: stop.signal },
    );
    const asks = asksOf(client, mixes, number);
    while (performance.now() < until) {
      const [name, ask] = asks();
      const from = performance.now();
      try {
        await ask();
        if (name.startsWith('keep') || name.startsWith('change')) changes++;
      } catch (fault) {
        const what = `${name}: ${(fault as { code?: string }).code ?? fault}`;
        faults.set(what, (faults.get(what) ?? 0) + 1);
      }
      const list = times.get(name) ?? [];
      times.set(name, list);
      list.push(performance.now() - from);
      await new Promise((resolve) => setTimeout(resolve, THINK_MS));
    }
    return following;
  };
  const count = Number(values.devices);
  const beside = await hostile(owner, home, url, stop.signal);
  const all = Array.from({ length: count }, (_, i) => work(i));
  await new Promise((resolve) => setTimeout(resolve, seconds * 1000 + 500));
  stop.abort();
  await Promise.all(all);
  console.log(`  beside them: ${await beside()}`);

  const every = [...times.values()].flat();
  console.log(
    `  ${count} devices, ${seconds} s: ${every.length} calls, ${(every.length / seconds).toFixed(0)} a second; median ${quantile(every, 0.5).toFixed(1)}, p99 ${quantile(every, 0.99).toFixed(1)}, worst ${Math.max(...every).toFixed(0)} ms`,
  );
  for (const [name, list] of [...times].sort()) {
    console.log(
      `    ${name.padEnd(24)} ${String(list.length).padStart(6)}  median ${quantile(list, 0.5).toFixed(1)}, p99 ${quantile(list, 0.99).toFixed(1)} ms`,
    );
  }
  console.log(`  ${changes} changes, told ${heard} times to ${count} open pages`);
  for (const [what, times] of faults) console.error(`  FAULT ${what}, ${times} times`);
  if (faults.size > 0) process.exitCode = 1;
  return every.length;
}

/**
 * What the devices must not feel: a device that pastes hard notes over and over, half requests on every
 * listener, and a program of this computer that takes all streams it can get. Returns what was done.
 */
async function hostile(owner: ApiClient, home: string, url: string, signal: AbortSignal) {
  const client = await paired(owner, home, 1000);
  const text = `${'N '.repeat(999)}\n`.repeat(524);
  const call = { do: 'import', as: 'shorthand', fileName: 'notes', text, check: true } as const;
  let notes = 0;
  const pasting = (async () => {
    while (!signal.aborted) {
      const { id } = (await client.call('startJob', { body: call })).body;
      for (let ended = false; !ended && !signal.aborted; ) {
        await new Promise((resolve) => setTimeout(resolve, 250));
        const { state } = (await client.call('getJob', { params: { id } })).body;
        ended = state === 'failed';
        if (ended) notes++;
      }
      await client.call('cancelJob', { params: { id } });
    }
  })();
  let closed = 0;
  const sockets = new Set<Socket>();
  const half = ({ hostname, port, host }: URL) => {
    const socket = connect({ host: hostname, port: Number(port) });
    sockets.add(socket);
    socket.on('error', () => {}).resume();
    socket.on('close', () => {
      sockets.delete(socket);
      if (signal.aborted) return;
      closed++;
      setTimeout(half, 100, new URL(`http://${host}`));
    });
    socket.write(`GET /api/v1/health HTTP/1.1\r\nHost: ${host}\r\n`);
  };
  for (let i = 0; i < HALF; i++) for (const at of [home, url]) half(new URL(at));
  let streams = 0;
  for (;;) {
    const answer = await fetch(`${url}/api/v1/events`, { signal });
    if (!answer.ok) break;
    answer.body?.pipeTo(new WritableStream()).catch(() => {});
    streams++;
  }
  return async () => {
    for (const socket of sockets) socket.destroy();
    await pasting;
    return `1 MB of hard notes pasted ${notes} times, ${2 * HALF} half requests held and ${closed} of them closed, ${streams} streams of a local program`;
  };
}

async function paired(owner: ApiClient, home: string, number: number): Promise<ApiClient> {
  pairing = pairing.then(async () => {
    const { code } = (await owner.call('startPairing', {})).body;
    // From the loopback connection, which has no limit on tries; the token is valid on the other
    // one.
    const body = { code, name: `Device ${number}`, as: 'program' } as const;
    const { token } = (await owner.call('pair', { body })).body;
    return token!;
  });
  return apiClient({ baseUrl: home, token: await pairing });
}
type Ask = readonly [name: string, ask: () => Promise<unknown>];

/** The calls of a page while the user browses, searches, and now and then saves something. */
function asksOf(client: ApiClient, mixes: number, number: number): () => Ask {
  const { chance, upTo, word } = bookChance(100 + number);
  const own = `own-${number}`;
  let version = 0;
  let kept = 0;
  const mixBody = (name: string) => ({
    kind: 'mix' as const,
    body: {
      name,
      basis: 'volume' as const,
      status: 'saved' as const,
      parts: [{ of: { kind: 'block' as const, id: `b${upTo(48)}` }, parts: 1 + upTo(9) }],
    },
  });
  const asks: readonly (readonly [share: number, ...Ask])[] = [
    [
      0.35,
      'list a page',
      () => client.call('listRecords', { query: { kind: 'mix', sort: 'name', limit: 50 } }),
    ],
    [
      0.1,
      'list by a tag, newest',
      () =>
        client.call('listRecords', {
          query: { kind: 'mix', tag: word(), sort: 'changed', descending: 'true', limit: 50 },
        }),
    ],
    [
      0.2,
      'search two words',
      () => client.call('search', { query: { text: `${word()} ${word()}`, limit: 50 } }),
    ],
    [
      0.15,
      'closest colours',
      () =>
        client.call('nearest', {
          query: { l: 20 + 70 * chance(), a: 80 * chance() - 40, b: 80 * chance() - 40 },
        }),
    ],
    [0.1, 'one record', () => client.call('getRecord', { params: { id: `m${upTo(mixes)}` } })],
    [
      0.04,
      'save a mix',
      () =>
        client.call(
          'makeRecord',
          { body: mixBody(`${word()} of ${number}, ${kept}`) },
          { key: `${number}-${kept++}` },
        ),
    ],
    [
      0.06,
      'change a mix',
      async () => {
        const seen = version === 0 ? 'none' : version;
        const body = mixBody(`${word()} own ${number}`);
        const put = await client.call(
          'putRecord',
          { params: { id: own }, body },
          { version: seen },
        );
        version = put.body.version;
      },
    ],
  ];
  return () => {
    let at = chance();
    for (const [share, name, ask] of asks) {
      at -= share;
      if (at < 0) return [name, ask];
    }
    const [, name, ask] = asks[0];
    return [name, ask];
  };
}
