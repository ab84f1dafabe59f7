import { createHash, timingSafeEqual } from 'node:crypto';
import type { Device } from '../../api/access-routes.ts';
import { AppError } from '../../core/errors.ts';
import type { ServerStateStore } from '../server-state.ts';

export interface DevicePorts {
  readonly side: ServerStateStore;
  readonly nowEpochMs: () => number;
  /** From the system's own source of secrets. */
  readonly randomBytes: (count: number) => Uint8Array;
  readonly newId: () => string;
}

export interface PairingCode {
  /** Eight short names with a hyphen in the middle. */
  readonly code: string;
  readonly expiresAt: string;
}

/** Who may come in over the home network. */
export interface DeviceBook {
  startPairing(): PairingCode;
  stopPairing(): void;
  /** Refuses: no code, a wrong or an old one -> code-not-known, whichever it is */
  pair(code: string, name: string): Promise<{ readonly device: Device; readonly token: string }>;
  /** The device whose token it is. */
  who(token: string): Device | undefined;
  list(): readonly Device[];
  /** Whether it was there. */
  revoke(id: string): Promise<boolean>;
  /** Hears of devices that may no longer come in. */
  onRevoke(hear: (id: string) => void): void;
}

/** Digits and capitals without those read for one another: 32, so that a byte's low bits choose evenly. */
const LETTERS = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ';
const CODE_LETTERS = 8;
const CODE_LIFE_MS = 5 * 60 * 1000;
/** Wrong tries after which a code is void: guessing 40 bits in five tries. */
const WRONG_TRIES = 5;
const SEEN_EVERY_MS = 60 * 60 * 1000;
const SPACE = 'device';
export const MOST_DEVICES = 100;

interface KeptDevice extends Device {
  /** SHA-256 of the secret; 256 random bits need no slow hash. */
  readonly hash: string;
}

/**
 * Devices paired with a book. A token is the device's id and 32 random bytes; only the hash is kept.
 * Holds:   a code pairs one device; comparisons take the same time wherever two secrets differ
 */
export async function deviceBook(ports: DevicePorts): Promise<DeviceBook> {
  const { side, nowEpochMs, randomBytes, newId } = ports;
  const devices = new Map<string, KeptDevice>();
  for (const { value } of await side.list(SPACE)) {
    const device = value as KeptDevice;
    devices.set(device.id, device);
  }
  const hearers: ((id: string) => void)[] = [];
  let open: { hash: Buffer; until: number; wrong: number } | undefined;
  const now = () => new Date(nowEpochMs()).toISOString();
  const shown = ({ id, name, pairedAt, lastSeenAt }: KeptDevice): Device => ({
    id,
    name,
    pairedAt,
    lastSeenAt,
  });
  return {
    startPairing() {
      const letters = [...randomBytes(CODE_LETTERS)]
        .map((byte) => LETTERS[byte % LETTERS.length])
        .join('');
      const until = nowEpochMs() + CODE_LIFE_MS;
      open = { hash: sha256(letters), until, wrong: 0 };
      const half = CODE_LETTERS / 2;
      return {
        code: `${letters.slice(0, half)}-${letters.slice(half)}`,
        expiresAt: new Date(until).toISOString(),
      };
    },
    stopPairing() {
      open = undefined;
    },
    async pair(code, name) {
      const given = sha256(code.toUpperCase().replace(/[\s-]/g, ''));
      if (open === undefined || nowEpochMs() > open.until) throw codeNotKnown();
      if (!timingSafeEqual(given, open.hash)) {
        if (++open.wrong >= WRONG_TRIES) open = undefined;
        throw codeNotKnown();
      }
      open = undefined;
      if (devices.size >= MOST_DEVICES) throw tooManyDevices();
      const id = newId();
      const secret = Buffer.from(randomBytes(32)).toString('base64url');
      const at = now();
      const hash = sha256(secret).toString('hex');
      const device = { id, name, pairedAt: at, lastSeenAt: at, hash };
      await side.put(SPACE, id, device);
      devices.set(id, device);
      return { device: shown(device), token: `${id}.${secret}` };
    },
    who(token) {
      const dot = token.indexOf('.');
      const device = devices.get(token.slice(0, Math.max(0, dot)));
      // The token is hashed even if no device has that id, so that the time taken does not reveal which ids exist.
      const given = sha256(token.slice(dot + 1));
      const kept = Buffer.from(device?.hash ?? '0'.repeat(64), 'hex');
      if (!timingSafeEqual(given, kept) || device === undefined) return undefined;
      if (nowEpochMs() - Date.parse(device.lastSeenAt) > SEEN_EVERY_MS) {
        const seen = { ...device, lastSeenAt: now() };
        devices.set(device.id, seen);
        // This is only for the device list, so a full disk does not lock the user out.
        side.put(SPACE, device.id, seen).catch(() => {});
        return shown(seen);
      }
      return shown(device);
    },
    list: () => [...devices.values()].map(shown),
    async revoke(id) {
      if (!devices.has(id)) return false;
      await side.remove(SPACE, id);
      devices.delete(id);
      for (const hear of hearers) hear(id);
      return true;
    },
    onRevoke: (hear) => void hearers.push(hear),
  };
}

function sha256(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}

/** One answer for every reason: who guesses learns nothing. */
function codeNotKnown(): AppError {
  return new AppError({
    code: 'code-not-known',
    kind: 'bad-input',
    detail: 'This code does not pair a device, or does so no longer.',
    hint: 'Ask for a new code at the computer that holds the book, and type it within five minutes.',
  });
}

function tooManyDevices(): AppError {
  return new AppError({
    code: 'devices-full',
    kind: 'conflict',
    detail: `${MOST_DEVICES} devices are paired.`,
    hint: 'Take the leave from one that is no longer used.',
  });
}
