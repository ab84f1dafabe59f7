import type { SavedFiles } from '../../src/book/ports.ts';
import { AppError } from '../../src/core/errors.ts';
import { sha256Of } from '../../src/domain/canonical-json.ts';
import type { BookStep } from '../../src/domain/records/change.ts';
import type { BodyOf, BookKind } from '../../src/domain/records/record.ts';

/** Short forms for the steps of a change. */
export const put = <K extends BookKind>(
  kind: K,
  id: string,
  body: BodyOf<K>,
  version?: number,
): BookStep =>
  ({ do: 'put', kind, id, body, ...(version === undefined ? {} : { version }) }) as BookStep;

export const line = (id: string, name = id) => put('line', id, { name, status: 'current' });

export const block = (id: string, lineId: string, more: Partial<BodyOf<'block'>> = {}) =>
  put('block', id, { lineId, name: id, clayType: 'opaque', status: 'current', ...more });

export const mix = (
  id: string,
  parts: readonly (readonly [kind: 'block' | 'mix', id: string, parts: number])[],
  more: Partial<BodyOf<'mix'>> = {},
  version?: number,
) =>
  put(
    'mix',
    id,
    {
      name: id,
      basis: 'volume',
      status: 'saved',
      parts: parts.map(([kind, of, count]) => ({ of: { kind, id: of }, parts: count })),
      ...more,
    },
    version,
  );

export const tile = (id: string, mixId: string, more: Partial<BodyOf<'tile'>> = {}) =>
  put('tile', id, {
    of: { kind: 'mix', id: mixId },
    basis: 'volume',
    state: 'baked',
    bakes: [],
    ...more,
  });

export const reading = (id: string, tileId: string, lab: readonly [number, number, number]) =>
  put('reading', id, {
    of: { kind: 'tile', id: tileId },
    readingKind: 'measured',
    state: 'baked',
    lab: { values: [...lab], light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'excluded',
  });

/** A clock that advances a second each time it is read, and ids that count. */
export function steadyWorld() {
  let ms = Date.UTC(2026, 0, 1);
  let names = 0;
  return { nowEpochMs: () => (ms += 1000), newId: () => `new-${String(++names).padStart(4, '0')}` };
}

export function filesInMemory(): SavedFiles {
  const kept = new Map<string, Uint8Array>();
  return {
    async put(bytes) {
      const sha256 = sha256Of(bytes);
      kept.set(sha256, Uint8Array.from(bytes));
      return { sha256, bytes: bytes.length };
    },
    async get(sha256) {
      const bytes = kept.get(sha256);
      if (bytes !== undefined) return bytes;
      throw new AppError({ code: 'file-missing', kind: 'not-found', detail: '', hint: '' });
    },
    async list() {
      return [...kept.keys()].sort();
    },
    async remove(sha256) {
      kept.delete(sha256);
    },
  };
}
