import type { ChangeEvent } from '../api/book-routes.ts';
import type { JobNews } from '../api/job-routes.ts';
import { AppError } from '../core/errors.ts';
import { type ClientOptions, faultOf, tokenOf, urlOf } from './api-client.ts';

export interface EventListener {
  change?(event: ChangeEvent): void;
  job?(news: JobNews): void;
  /** Too many changes were missed to send them one by one: reload everything. */
  reset?(): void;
  /** Whether events arrive just now. */
  state?(state: 'open' | 'waiting', fault?: unknown): void;
}

export interface FollowOptions {
  /** Number of the newest change that is known; from now on where absent. */
  readonly after?: number;
  readonly signal: AbortSignal;
  readonly waitsMs?: readonly number[];
}

/** Waits between tries to come back, the last for good. */
const WAITS_MS = [250, 1000, 2000, 5000, 10_000];

/**
 * Follows a book until the signal stops it, and comes back after every break where it left off.
 * Resolves when it is stopped.
 * Refuses: what coming back cannot mend (not paired any more) -> that fault
 * Source:  WHATWG HTML, server-sent events
 */
export async function followEvents(
  options: ClientOptions,
  hear: EventListener,
  { after, signal, waitsMs = WAITS_MS }: FollowOptions,
): Promise<void> {
  let last = after === undefined ? undefined : String(after);
  for (let tries = 0; !signal.aborted; tries++) {
    try {
      const ask = options.fetch ?? fetch;
      const response = await ask(urlOf(options.baseUrl, 'events', {}), {
        signal,
        credentials: 'same-origin',
        headers: {
          accept: 'text/event-stream',
          ...tokenOf(options),
          ...(last === undefined ? {} : { 'last-event-id': last }),
        },
      });
      if (!response.ok || response.body === null) throw await faultOf(response);
      hear.state?.('open');
      for await (const event of eventsFrom(response.body)) {
        tries = 0;
        if (event.id !== undefined) last = event.id;
        if (event.event === 'reset') hear.reset?.();
        else if (event.event === 'job') hear.job?.(JSON.parse(event.data));
        else if (event.event === 'change') hear.change?.(JSON.parse(event.data));
      }
      hear.state?.('waiting');
    } catch (thrown) {
      if (signal.aborted) return;
      if (thrown instanceof AppError && !thrown.retry && thrown.kind !== 'unavailable')
        throw thrown;
      if (thrown instanceof AppError && thrown.code === 'not-paired') throw thrown;
      hear.state?.('waiting', thrown);
    }
    await pause(waitsMs[tries] ?? waitsMs.at(-1) ?? 0, signal);
  }
}

interface SentEvent {
  readonly event: string;
  readonly data: string;
  readonly id?: string;
}

/** Events of a stream, however its bytes were cut. */
export async function* eventsFrom(
  stream: ReadableStream<Uint8Array>,
): AsyncGenerator<SentEvent, void, undefined> {
  const reader = stream.getReader();
  const decoder = new TextDecoder();
  let text = '';
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      text += decoder.decode(value, { stream: true });
      const blocks = text.split(/\r\n\r\n|\n\n/);
      text = blocks.pop()!;
      for (const block of blocks) {
        const event = eventFrom(block);
        if (event !== undefined) yield event;
      }
    }
  } finally {
    reader.cancel().catch(() => {});
  }
}

function eventFrom(block: string): SentEvent | undefined {
  let event = 'message';
  let id: string | undefined;
  const data: string[] = [];
  for (const row of block.split(/\r?\n/)) {
    const [, field, value] = /^([^:]*)(?:: ?(.*))?$/s.exec(row)!;
    if (field === 'event') event = value ?? '';
    else if (field === 'data') data.push(value ?? '');
    else if (field === 'id') id = value ?? '';
  }
  if (data.length === 0) return undefined;
  return { event, data: data.join('\n'), ...(id === undefined ? {} : { id }) };
}

function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      signal.removeEventListener('abort', done);
      resolve();
    };
    const timer = setTimeout(done, ms);
    signal.addEventListener('abort', done);
  });
}
