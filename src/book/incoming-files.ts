import { sha256Of } from '../domain/canonical-json.ts';
import type { Book } from './book.ts';

/** So long a file waits for the record that names it; then an emptying of the bin may take it. */
const WAIT_MS = 60 * 60 * 1000;

export interface BroughtFiles {
  /** Keeps the bytes, and says the checksum a record names them by. */
  bring(bytes: Uint8Array, ending: string): Promise<string>;
  /** The records came, or will not come. */
  release(): void;
}

/** Files that come before the records that name them, one by one, so that not all need be in memory. */
export function broughtFiles(book: Book): BroughtFiles {
  const { ports, coming } = book;
  let waiting: { readonly sha256: string; readonly untilMs: number }[] = [];
  const letGo = (over: (untilMs: number) => boolean) => {
    for (const { sha256, untilMs } of waiting) {
      if (!over(untilMs)) continue;
      const left = (coming.get(sha256) ?? 1) - 1;
      if (left === 0) coming.delete(sha256);
      else coming.set(sha256, left);
    }
    waiting = waiting.filter(({ untilMs }) => !over(untilMs));
  };
  return {
    async bring(bytes, ending) {
      const nowMs = ports.nowEpochMs();
      letGo((untilMs) => untilMs < nowMs);
      const sha256 = sha256Of(bytes);
      coming.set(sha256, (coming.get(sha256) ?? 0) + 1);
      waiting.push({ sha256, untilMs: nowMs + WAIT_MS });
      await ports.files.put(bytes, ending);
      return sha256;
    },
    release: () => letGo(() => true),
  };
}
