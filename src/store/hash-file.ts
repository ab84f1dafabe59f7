import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';

/** Bytes and SHA-256 of a file, read in pieces. */
export async function hashFile(
  path: string,
): Promise<{ readonly bytes: number; readonly sha256: string }> {
  const hash = createHash('sha256');
  let bytes = 0;
  for await (const piece of createReadStream(path)) {
    hash.update(piece as Buffer);
    bytes += (piece as Buffer).length;
  }
  return { bytes, sha256: hash.digest('hex') };
}
