import type { ServerResponse } from 'node:http';
import type { ChangeEvent } from '../api/book-routes.ts';
import type { BookNews } from '../book/book.ts';
import { changesAfter, type FeedItem } from '../book/book-history.ts';
import type { ServerDependencies } from './dependencies.ts';
import type { Caller } from './guard.ts';
import type { HandledRequest, Handler } from './handler.ts';
import { plainFault } from './problem-answers.ts';
import { SECURITY_HEADERS } from './security-headers.ts';
import { maySee } from './work-handlers.ts';

const BEAT_MS = 15_000;
/** Most missed changes sent one by one; with more, the page reloads everything. */
const MOST_MISSED = 500;
/** Records named in one event. */
const MOST_NAMED = 500;
/** Bytes a slow reader may leave lying; past it the stream ends, and it comes back when it can. */
const MOST_UNREAD = 1024 * 1024;
/**
 * Streams of one device, and of all programs and pages on this computer together. Nobody can use up the
 * streams of somebody else; how many there can be in all follows from the number of devices.
 */
const MOST_OF_DEVICE = 8;
const MOST_OF_OWNER = 100;

export interface EventStreams {
  readonly handler: Handler<'events'>;
  /** Ends the streams of one device, or all. */
  end(deviceId?: string): void;
}

/**
 * Changes and jobs as they happen, to every page that shows the book.
 * Source: WHATWG HTML, server-sent events; `id` of a change is its number, so that Last-Event-ID resumes
 */
export function eventStreams({ book, jobs, devices }: ServerDependencies): EventStreams {
  const streams = new Map<ServerResponse, string | undefined>();
  const end = (deviceId?: string) => {
    for (const [stream, whose] of [...streams]) {
      if (deviceId === undefined || whose === deviceId) stream.end();
    }
  };
  devices.onRevoke(end);
  return {
    end,
    async handler({ query }, asked) {
      const whose = asked.caller.device?.id;
      const own = [...streams.values()].filter((id) => id === whose).length;
      if (own >= (whose === undefined ? MOST_OF_OWNER : MOST_OF_DEVICE)) throw tooManyStreams();
      const stream = opened(asked);
      streams.set(stream, whose);
      await follow(stream, startOf(asked, query.after), asked.caller);
      return undefined;
    },
  };

  async function follow(
    stream: ServerResponse,
    after: number | undefined,
    caller: Caller,
  ): Promise<void> {
    // What happens while the past is read waits its turn.
    let early: BookNews[] | undefined = [];
    let sent = after ?? -1;
    const send = (text: string) => {
      if (stream.writableEnded || stream.destroyed) return;
      if (stream.writableLength > MOST_UNREAD) stream.destroy();
      else stream.write(text);
    };
    const tell = (event: ChangeEvent) => {
      if (event.group.seq <= sent) return;
      sent = event.group.seq;
      send(`id: ${sent}\nevent: change\ndata: ${JSON.stringify(event)}\n\n`);
    };
    const quietBook = book.listen((news) => {
      if (early === undefined) tell(eventFromNews(news));
      else early.push(news);
    });
    const quietJobs = jobs.listen((news) => {
      if (maySee(caller, news)) send(`event: job\ndata: ${JSON.stringify(news)}\n\n`);
    });
    const beat = setInterval(() => send(': still here\n\n'), BEAT_MS);
    stream.on('close', () => {
      quietBook();
      quietJobs();
      clearInterval(beat);
      streams.delete(stream);
    });
    send('retry: 2000\n\n');
    try {
      const newest = await book.ports.store.lastSeq();
      if (after === undefined) sent = newest;
      else if (sent > newest || newest - sent > MOST_MISSED) {
        sent = newest;
        send(`id: ${sent}\nevent: reset\ndata: {}\n\n`);
      } else {
        for (const item of await changesAfter(book, sent, MOST_MISSED)) tell(eventFromItem(item));
      }
      for (const news of early) tell(eventFromNews(news));
      early = undefined;
    } catch {
      // The book cannot be read just now; the page comes back and asks again.
      stream.end();
    }
  }
}

function opened({ reply }: HandledRequest): ServerResponse {
  reply.hijack();
  const stream = reply.raw;
  stream.writeHead(200, {
    ...SECURITY_HEADERS,
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    connection: 'keep-alive',
  });
  stream.on('error', () => stream.destroy());
  return stream;
}

/** The change known last; a browser that comes back says so by itself. */
function startOf({ request }: HandledRequest, after: number | undefined): number | undefined {
  const header = request.headers['last-event-id'];
  if (typeof header === 'string' && /^\d{1,15}$/.test(header)) return Number(header);
  return after;
}

function eventFromNews({ group, rows, gone }: BookNews): ChangeEvent {
  if (rows.length + gone.length > MOST_NAMED || gone.length > 0) {
    return { group, records: [], many: true };
  }
  return {
    group,
    records: rows.map(({ after: { kind, id, version, deletedAt } }) => ({
      kind,
      id,
      version,
      deleted: deletedAt !== undefined,
    })),
  };
}

function eventFromItem({ group, records }: FeedItem): ChangeEvent {
  if (records.length > MOST_NAMED || group.sort === 'empty') {
    return { group, records: [], many: true };
  }
  return { group, records: records.map((record) => ({ ...record })) };
}

function tooManyStreams() {
  return plainFault(
    'too-many-streams',
    'unavailable',
    'Too many pages follow the book already.',
    'Close some of them.',
    { retry: true },
  );
}
