import { ZipFile } from 'yazl';

/** Files as one ZIP archive. Holds: the same files give the same bytes */
export async function zipOfFiles(
  files: ReadonlyMap<string, string | Uint8Array>,
): Promise<Uint8Array> {
  const zip = new ZipFile();
  for (const [path, content] of files) {
    zip.addBuffer(Buffer.from(content), path, { mtime: FIXED });
  }
  zip.end();
  const pieces: Buffer[] = [];
  for await (const piece of zip.outputStream) pieces.push(piece as Buffer);
  return new Uint8Array(Buffer.concat(pieces));
}

/** The earliest moment of the format: when a page was made is nobody's business. */
const FIXED = new Date(1980, 0, 1);
