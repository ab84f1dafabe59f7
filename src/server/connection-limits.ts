/** How long the server waits for a caller, and how many connections it holds open. */
export interface ConnectionLimits {
  /** All headers of a request must have come within it, also the first byte of a new connection. */
  readonly headersMs: number;
  /** The whole request, with its body. Streams of events are answers and may last. */
  readonly requestMs: number;
  /** A connection that asks for nothing more is closed after it. */
  readonly idleMs: number;
  /** How often connections are looked at. */
  readonly lookMs: number;
  /** Most connections of one listener; more are closed as they come. */
  readonly most: number;
}

export const CONNECTION_LIMITS: ConnectionLimits = {
  headersMs: 20_000,
  requestMs: 120_000,
  idleMs: 30_000,
  lookMs: 5_000,
  most: 500,
};

/** The limits as Node names them when a server is made. Source: Node, http.createServer */
export function nodeLimits({ headersMs, requestMs, idleMs, lookMs }: ConnectionLimits) {
  return {
    headersTimeout: headersMs,
    requestTimeout: requestMs,
    keepAliveTimeout: idleMs,
    connectionsCheckingInterval: lookMs,
  };
}
