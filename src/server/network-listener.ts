import { createServer, type RequestListener, type Server } from 'node:http';
import { createServer as createSecureServer } from 'node:https';
import { isIPv6 } from 'node:net';
import { AppError } from '../core/errors.ts';
import { CONNECTION_LIMITS, type ConnectionLimits, nodeLimits } from './connection-limits.ts';
import { markNetwork } from './guard.ts';

export interface Certificate {
  readonly cert: string | Buffer;
  readonly key: string | Buffer;
}

export interface NetworkListener {
  /** Opens it on every address given; those that cannot be listened on are left out. */
  open(addresses: readonly string[], port: number): Promise<void>;
  /** Shuts it, and ends what came by it. */
  shut(): Promise<void>;
  urls(): readonly string[];
}

/**
 * The second door: listens on the addresses of the home network and marks its callers, so that no caller
 * there is taken for the owner, whatever address or header the caller claims.
 * Refuses: no address could be listened on -> network-not-opened (unavailable)
 */
export function networkListener(
  serve: RequestListener,
  certificate?: Certificate,
  limits: ConnectionLimits = CONNECTION_LIMITS,
): NetworkListener {
  let open: { server: Server; url: string }[] = [];
  const times = nodeLimits(limits);
  const scheme = certificate === undefined ? 'http' : 'https';
  return {
    async open(addresses, port) {
      const troubles: unknown[] = [];
      for (const address of addresses) {
        const server =
          certificate === undefined
            ? createServer(times, serve)
            : createSecureServer({ ...times, ...certificate }, serve);
        server.maxConnections = limits.most;
        server.on(certificate === undefined ? 'connection' : 'secureConnection', markNetwork);
        try {
          await listening(server, address, port);
          const name = isIPv6(address) ? `[${address}]` : address;
          open.push({ server, url: `${scheme}://${name}:${portOf(server)}` });
        } catch (fault) {
          troubles.push(fault);
        }
      }
      if (open.length === 0) throw notOpened(troubles[0]);
    },
    async shut() {
      const closing = open;
      open = [];
      await Promise.all(
        closing.map(({ server }) => {
          const closed = new Promise<void>((resolve) => server.close(() => resolve()));
          server.closeAllConnections();
          return closed;
        }),
      );
    },
    urls: () => open.map(({ url }) => url),
  };
}

function listening(server: Server, address: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, address, () => {
      server.off('error', reject);
      resolve();
    });
  });
}

function portOf(server: Server): number {
  const address = server.address();
  return typeof address === 'object' && address !== null ? address.port : 0;
}

function notOpened(cause: unknown): AppError {
  return new AppError({
    code: 'network-not-opened',
    kind: 'unavailable',
    detail: 'This computer could not be opened to the home network.',
    hint: 'Check that the network is connected and that no other program uses the same port.',
    retry: true,
    cause,
  });
}
