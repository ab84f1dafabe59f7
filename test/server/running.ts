import { mkdtempSync, rmSync } from 'node:fs';
import { request as httpRequest } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Job, JobCall } from '../../src/api/job-routes.ts';
import { type ApiClient, apiClient } from '../../src/client/api-client.ts';
import { type RunningServer, type ServeOptions, startServer } from '../../src/main/serve.ts';
import { BUILT_THREAD } from '../built.ts';

/**
 * Stands in for this machine's address in the home network; every Linux listens on all of 127/8.
 */
export const HOME_ADDRESS = '127.0.0.2';

export interface Running {
  readonly server: RunningServer;
  readonly folder: string;
  readonly client: ApiClient;
  /** Unexpected errors. */
  readonly troubles: unknown[];
  readonly log: string[];
  /** Stops the server, and deletes the folder unless it is needed again. */
  end(keep?: boolean): Promise<void>;
}

/** The real program on its own folder, with every answer checked against its schema. */
export async function running(
  options: Partial<ServeOptions> = {},
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-serve-')),
): Promise<Running> {
  const troubles: unknown[] = [];
  const log: string[] = [];
  const server = await startServer(folder, {
    version: '0.0.0-test',
    port: 0,
    checkAnswers: true,
    dailyBackups: false,
    ...(BUILT_THREAD === undefined ? {} : { thread: BUILT_THREAD }),
    networkAddresses: () => [HOME_ADDRESS],
    onTrouble: (fault) => troubles.push(fault),
    log: { write: (line) => log.push(line) },
    ...options,
  });
  return {
    server,
    folder,
    client: apiClient({ baseUrl: server.url }),
    troubles,
    log,
    async end(keep = false) {
      await server.close();
      if (!keep) rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Starts a job and waits for its end. */
export async function done(client: ApiClient, call: JobCall | object): Promise<Job> {
  const { body } = await client.call('startJob', { body: call as JobCall });
  return ended(client, body.id);
}

export async function ended(client: ApiClient, id: string): Promise<Job> {
  for (;;) {
    const { body } = await client.call('getJob', { params: { id } });
    if (!['waiting', 'running'].includes(body.state)) return body;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

export interface RawAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly text: string;
}

/** A call with headers that no browser and no `fetch` allows. */
export function rawCall(
  url: string,
  options: {
    readonly method?: string;
    readonly headers?: Readonly<Record<string, string>>;
    readonly body?: string | Uint8Array;
  } = {},
): Promise<RawAnswer> {
  const { method = 'GET', headers = {}, body } = options;
  return new Promise((resolve, reject) => {
    const call = httpRequest(url, { method, headers, agent: false }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part) => parts.push(part));
      answer.on('end', () =>
        resolve({
          status: answer.statusCode ?? 0,
          headers: answer.headers,
          text: Buffer.concat(parts).toString(),
        }),
      );
    });
    call.on('error', reject);
    call.end(body);
  });
}
