import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { eventsFrom, followEvents } from './event-stream.ts';

function streamOf(...pieces: readonly (string | Uint8Array)[]): ReadableStream<Uint8Array> {
  return new ReadableStream({
    start(controller) {
      const encoder = new TextEncoder();
      for (const piece of pieces) {
        controller.enqueue(typeof piece === 'string' ? encoder.encode(piece) : piece);
      }
      controller.close();
    },
  });
}

async function all(stream: ReadableStream<Uint8Array>) {
  const events = [];
  for await (const event of eventsFrom(stream)) events.push(event);
  return events;
}

describe('events of a stream', () => {
  const text =
    'retry: 2000\n\n: beat\n\nid: 7\nevent: change\ndata: {"ü":\ndata: 1}\n\ndata: x\n\n';
  const expected = [
    { event: 'change', data: '{"ü":\n1}', id: '7' },
    { event: 'message', data: 'x' },
  ];

  it('are read as WHATWG HTML, section 9.2.6 has them, wherever the bytes were cut', async () => {
    const bytes = new TextEncoder().encode(text);
    for (let cut = 0; cut <= bytes.length; cut++) {
      expect(await all(streamOf(bytes.slice(0, cut), bytes.slice(cut)))).toEqual(expected);
    }
  });

  it('may end their lines either way; one that never ended is none', async () => {
    expect(await all(streamOf(text.replaceAll('\n', '\r\n')))).toEqual(
      expected.map((event) => ({ ...event })),
    );
    expect(await all(streamOf('data: half'))).toEqual([]);
  });
});

describe('following a book', () => {
  it('comes back where it left off, after a break and after a server that was away', async () => {
    const asked: (string | null)[] = [];
    const stop = new AbortController();
    const change = (seq: number) =>
      `id: ${seq}\nevent: change\ndata: {"group":{"seq":${seq}},"records":[]}\n\n`;
    const answers = [
      () => new Response(streamOf(change(4), change(5))),
      () => Promise.reject(new TypeError('fetch failed')),
      () => new Response(streamOf('id: 9\nevent: reset\ndata: {}\n\n')),
      () => new Response(streamOf(change(10))),
    ];
    const heard: unknown[] = [];
    await followEvents(
      {
        baseUrl: 'http://here',
        fetch: (async (_url: string, init: RequestInit) => {
          asked.push(new Headers(init.headers).get('last-event-id'));
          return answers[asked.length - 1]();
        }) as typeof fetch,
      },
      {
        change: ({ group }) => {
          heard.push(group.seq);
          if (group.seq === 10) stop.abort();
        },
        reset: () => heard.push('reset'),
      },
      { after: 3, signal: stop.signal, waitsMs: [1] },
    );
    expect(heard).toEqual([4, 5, 'reset', 10]);
    expect(asked).toEqual(['3', '5', '5', '9']);
  });

  it('ends where coming back cannot mend it', async () => {
    const problem = {
      code: 'not-paired',
      kind: 'unavailable',
      detail: 'x',
      hint: 'y',
      retry: false,
    };
    const following = followEvents(
      { baseUrl: '', fetch: async () => new Response(JSON.stringify(problem), { status: 401 }) },
      {},
      { signal: new AbortController().signal, waitsMs: [1] },
    );
    await expect(following).rejects.toMatchObject({ code: 'not-paired' });
    await expect(following).rejects.toBeInstanceOf(AppError);
  });
});
