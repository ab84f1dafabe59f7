import { timingSafeEqual } from 'node:crypto';
import { isIP, type Socket } from 'node:net';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Device } from '../api/access-routes.ts';
import { FOLDER_PASS_HEADER } from '../api/paths.ts';
import type { ApiCaller } from '../api/route.ts';
import type { ServerDependencies } from './dependencies.ts';
import { plainFault } from './problem-answers.ts';
import { type RateLimit, rateLimit } from './rate-limit.ts';

/** Who is asking, as far as it is known. */
export interface Caller {
  /** At the machine that holds the book. */
  readonly owner: boolean;
  readonly device?: Device;
}

export const TOKEN_COOKIE = 'kneadwell';
const LOOPBACK = new Set(['localhost', '127.0.0.1', '[::1]']);
const UNSAFE = new Set(['POST', 'PUT', 'DELETE', 'PATCH']);

/** Sockets that came in by the door of the home network. */
const fromNetwork = new WeakSet<Socket>();
export function markNetwork(socket: Socket): void {
  fromNetwork.add(socket);
}

export function cameByNetwork(request: FastifyRequest): boolean {
  return fromNetwork.has(request.raw.socket);
}

export interface Guard {
  /** Refuses: a host or an origin that is not ours -> other-host, other-origin */
  checkListener(request: FastifyRequest): void;
  /**
   * Refuses: nobody known -> not-paired; a device where only the owner may -> owner-only; at the owner's
   * door the pass of another folder, or none where it is wanted -> other-folder
   */
  admit(request: FastifyRequest, who: ApiCaller): Caller;
  /** Tries at a pairing code. */
  readonly pairing: RateLimit;
}

const MINUTE = 60 * 1000;

/**
 * Trust hangs on the door a connection came by: the loopback door is the owner's, the home network's wants
 * a device's token. Every request must name a host of ours (against DNS rebinding) and come from a page of
 * ours, where it comes from a page (against forged requests).
 * Source: Fetch Standard (Origin), Fetch Metadata (Sec-Fetch-Site); RFC 9110 section 7.4 on 421
 */
export function guardFor(parts: ServerDependencies): Guard {
  const wrongTokens = rateLimit(30, MINUTE, parts.nowEpochMs);
  return {
    pairing: rateLimit(10, 5 * MINUTE, parts.nowEpochMs),
    checkListener(request) {
      const host = hostOf(request.headers.host);
      if (host === undefined || !hostIsOurs(host, request, parts)) throw otherHost();
      const { origin } = request.headers;
      const site = request.headers['sec-fetch-site'];
      if (origin !== undefined) {
        if (originHost(origin) !== request.headers.host?.toLowerCase()) throw otherOrigin();
      } else if (site !== undefined && site !== 'same-origin' && site !== 'none') {
        // A link on another page may lead to ours; nothing else may.
        const looks = request.headers['sec-fetch-mode'] === 'navigate';
        const api = request.url.startsWith('/api/');
        if (UNSAFE.has(request.method) || api || !looks) throw otherOrigin();
      }
    },
    admit(request, who) {
      const network = cameByNetwork(request);
      if (!network && !forwarded(request)) {
        const pass = request.headers[FOLDER_PASS_HEADER];
        const wanted = pass !== undefined || who === 'folder';
        if (wanted && !isPass(pass, parts.folderPass)) throw otherFolder();
        return { owner: true };
      }
      if (who === 'anyone') return { owner: false };
      const token = tokenIn(request);
      const device = token === undefined ? undefined : parts.devices.who(token);
      if (device === undefined) {
        if (token !== undefined) wrongTokens.count(request.ip);
        throw notPaired();
      }
      if (who === 'owner' || who === 'folder') throw ownerOnly();
      return { owner: false, device };
    },
  };
}

function isPass(said: string | string[] | undefined, pass: string): boolean {
  const [one, other] = [Buffer.from(String(said)), Buffer.from(pass)];
  return one.length === other.length && timingSafeEqual(one, other);
}

/**
 * Headers that programs add when they pass on the calls of others, by how they are named. One of them is
 * enough: no browser and no program of ours sends any.
 * Source: RFC 7239 (Forwarded), RFC 9110 sections 7.6.2 and 7.6.3 (Max-Forwards, Via), RFC 8586 (CDN-Loop);
 *         the others are common practice
 */
const PROXY_HEADERS = [
  /^(?:forwarded|via|max-forwards|cdn-loop|surrogate-capability|front-end-https)$/,
  /^x-(?:forwarded|original|rewrite|proxy|nginx|envoy|arr-|amz-cf|azure|appengine|bluecoat)/,
  /^(?:.+-)?proxy-(?!authorization$)/,
  /^x-(?:host|scheme|url-scheme|remote-(?:addr|ip|port|host|user)|real-port)$/,
  /(?:^|-)(?:client|connecting|real|source|src|user|originating|from|peer|external)-?(?:ip|address)$/,
];

/** A program that passes on the calls of others must not lend them the rights of the owner. */
function forwarded({ headers }: FastifyRequest): boolean {
  return Object.keys(headers).some((name) => PROXY_HEADERS.some((one) => one.test(name)));
}

/** Name or address without its port, lower case. */
function hostOf(header: string | undefined): string | undefined {
  const found = /^(\[[0-9a-f:.]+\]|[a-z0-9.-]+)(?::\d{1,5})?$/i.exec(header ?? '');
  return found?.[1]?.toLowerCase();
}

function hostIsOurs(host: string, request: FastifyRequest, parts: ServerDependencies): boolean {
  if (!cameByNetwork(request)) return LOOPBACK.has(host);
  const bare = host.replace(/^\[|\]$/g, '');
  // An address can be no name that somebody else points at us; it must be the one that was reached.
  if (isIP(bare) !== 0) return sameAddress(bare, request.raw.socket.localAddress);
  return parts.hostNames().includes(host);
}

function sameAddress(one: string, other: string | undefined): boolean {
  return other !== undefined && one === other.replace(/^::ffff:/, '').replace(/%.*$/, '');
}

function originHost(origin: string): string | undefined {
  const found = /^https?:\/\/([^/]+)$/i.exec(origin);
  return found?.[1]?.toLowerCase();
}

function tokenIn({ headers }: FastifyRequest): string | undefined {
  const bearer = /^Bearer ([\x21-\x7e]{1,200})$/i.exec(headers.authorization ?? '');
  if (bearer !== null) return bearer[1];
  for (const part of (headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=', 2);
    if (name === TOKEN_COOKIE && value !== undefined && value.length <= 200) return value;
  }
  return undefined;
}

/** A year; the leave itself ends when it is taken away. */
const COOKIE_SECONDS = 365 * 24 * 60 * 60;

export function setTokenCookie(reply: FastifyReply, token: string, secure: boolean): void {
  reply.header(
    'set-cookie',
    `${TOKEN_COOKIE}=${token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${COOKIE_SECONDS}${secure ? '; Secure' : ''}`,
  );
}

export function clearTokenCookie(reply: FastifyReply): void {
  reply.header('set-cookie', `${TOKEN_COOKIE}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0`);
}

function otherHost() {
  return plainFault(
    'other-host',
    'bad-input',
    'This is not the address of this book.',
    'Use the address Kneadwell shows.',
  );
}

function otherOrigin() {
  return plainFault(
    'other-origin',
    'bad-input',
    'This call comes from a page that is not Kneadwell’s.',
    'Open the book at the address Kneadwell shows.',
  );
}

function otherFolder() {
  return plainFault(
    'other-folder',
    'conflict',
    'The pass belongs to another folder than this book.',
    'The pass is in book.owner.json of the folder, with a new one each time the book is served.',
  );
}

function notPaired() {
  return plainFault(
    'not-paired',
    'unavailable',
    'This device is not paired with the book.',
    'At the computer that holds the book, ask for a code, and type it here.',
  );
}

export function ownerOnly() {
  return plainFault(
    'owner-only',
    'bad-input',
    'This can be done only at the computer that holds the book.',
    'Do it there.',
  );
}
