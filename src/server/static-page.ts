import { readdirSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { extname, join, relative, sep } from 'node:path';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { plainFault } from './problem-answers.ts';

const HTML = 'text/html; charset=utf-8';
const TYPES: Readonly<Record<string, string>> = {
  '.html': HTML,
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
};

const known = new Map<string, ReadonlyMap<string, string>>();

/**
 * Files of the built page. Only names found in its folder are served, so that no path leads out of it; any
 * other path is a place inside the page.
 */
export async function pageFiles(
  folder: string | undefined,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<FastifyReply> {
  const path = request.url.replace(/\?.*$/s, '');
  if (request.method !== 'GET' || path.startsWith('/api/')) throw noSuchPlace();
  const files = folder === undefined ? new Map<string, string>() : filesIn(folder);
  const place = extname(path) === '' ? '/index.html' : path;
  const file = files.get(place);
  if (file === undefined) {
    if (place !== '/index.html') throw noSuchPlace();
    return reply.type(HTML).send(NO_PAGE);
  }
  // Names of built files hold a hash of what is in them.
  const lasting = place.startsWith('/assets/');
  return reply
    .header('cache-control', lasting ? 'public, max-age=31536000, immutable' : 'no-cache')
    .type(TYPES[extname(file)] ?? 'application/octet-stream')
    .send(await readFile(file));
}

function filesIn(folder: string): ReadonlyMap<string, string> {
  const before = known.get(folder);
  if (before !== undefined) return before;
  const found = new Map<string, string>();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const file = join(entry.parentPath, entry.name);
    found.set(`/${relative(folder, file).split(sep).join('/')}`, file);
  }
  known.set(folder, found);
  return found;
}

const NO_PAGE = `<!doctype html>
<html lang="en"><title>Kneadwell</title>
<p>The book is open. Its page is not built here; run <code>npm start</code> once.</p>
<p><a href="/api">What can be asked of it</a></p></html>
`;

function noSuchPlace() {
  return plainFault(
    'no-such-place',
    'not-found',
    'There is nothing at this address.',
    'Look at /api for what can be asked.',
  );
}
