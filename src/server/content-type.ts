import type { FastifyRequest } from 'fastify';

/** Media type of the body of a request, without parameters; empty where none is stated. */
export function contentType({ headers }: FastifyRequest): string {
  return (headers['content-type'] ?? '').replace(/;.*$/s, '').trim();
}
