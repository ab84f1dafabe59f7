import { AppError } from '../../core/errors.ts';
import { canonicalJson, sha256Of } from '../canonical-json.ts';
import { type JsonLimits, jsonProblem } from '../json-limits.ts';
import { textFromBytes } from '../text-file.ts';
import { issuesOf } from '../validation-issues.ts';
import {
  SHARE_FORMAT,
  SHARE_LIMITS,
  SHARE_VERSION,
  type ShareFile,
  type ShareFileBody,
  shareFileSchema,
} from './share-file.ts';

/** Counted before the text is parsed: 5,000 mixes of 12 clays are far below. */
const JSON_LIMITS: JsonLimits = { depth: 12, fields: 60, items: 6000, values: 600_000 };

/** The file with its seal. Refuses: what the schema refuses, which is a fault of the caller */
export function sealed(body: ShareFileBody): ShareFile {
  return shareFileSchema.parse({ ...body, seal: sealOf(body) });
}

/** One mix, clay or line a line. Holds: the same recipes give the same bytes */
export function bytesFromShare(file: ShareFile): Uint8Array {
  const lines = Object.entries(file).map(([key, value]) => {
    const rows =
      Array.isArray(value) && value.length > 0
        ? `[\n${value.map((row) => JSON.stringify(row)).join(',\n')}\n]`
        : JSON.stringify(value);
    return `${JSON.stringify(key)}: ${rows}`;
  });
  return new TextEncoder().encode(`{\n${lines.join(',\n')}\n}\n`);
}

/** Whether a text begins as a share file does. */
export function isShareText(text: string): boolean {
  return text.slice(0, 200).includes(`"${SHARE_FORMAT}"`);
}

/**
 * A share file out of a stranger's bytes.
 * Refuses: more than 8 MB; too much of anything, counted before it is parsed; no share file; another
 *          version; anything that does not fit; a broken seal -> share-file-too-large, share-file-unreadable,
 *          share-file-version, share-file-damaged (bad-input)
 */
export function shareFromBytes(bytes: Uint8Array, name: string): ShareFile {
  if (bytes.length > SHARE_LIMITS.bytes) {
    throw refused(
      'share-file-too-large',
      `${name} has ${bytes.length} bytes; a share file has at most ${SHARE_LIMITS.bytes}.`,
    );
  }
  return shareFromText(textFromBytes(bytes, name, SHARE_LIMITS.bytes), name);
}

/** The same from its text. */
export function shareFromText(text: string, name: string): ShareFile {
  const problem = jsonProblem(text, JSON_LIMITS);
  if (problem !== undefined) {
    throw refused('share-file-too-large', `${name} has ${problem}, more than a share file needs.`);
  }
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    throw isShareText(text)
      ? refused('share-file-damaged', `${name} is a share file that was cut off or damaged.`)
      : refused('share-file-unreadable', `${name} is no share file.`);
  }
  const { format, version } = (read ?? {}) as { format?: unknown; version?: unknown };
  if (format !== SHARE_FORMAT) throw refused('share-file-unreadable', `${name} is no share file.`);
  if (version !== SHARE_VERSION) {
    throw refused(
      'share-file-version',
      `${name} is a share file of version ${String(version).slice(0, 20)}; this program reads version ${SHARE_VERSION}.`,
      typeof version === 'number' && version > SHARE_VERSION
        ? 'Nothing was taken. Update Kneadwell, or ask the author for an older version.'
        : NOTHING_TAKEN,
    );
  }
  const parsed = shareFileSchema.safeParse(read);
  if (!parsed.success) {
    const [{ field, message }] = issuesOf(parsed.error, 1);
    const at = field === '' ? '' : ` at ${field.slice(0, 80)}`;
    throw refused('share-file-damaged', `${name} does not fit${at}: ${message.slice(0, 200)}.`);
  }
  const { seal, ...body } = parsed.data;
  if (seal !== sealOf(body)) {
    throw refused('share-file-damaged', `${name} was changed or damaged since it was written.`);
  }
  return parsed.data;
}

const NOTHING_TAKEN = 'Nothing was taken. Ask the author for the file again.';

function refused(code: string, detail: string, hint = NOTHING_TAKEN): AppError {
  return new AppError({ code, kind: 'bad-input', detail, hint });
}

function sealOf(body: ShareFileBody): string {
  return sha256Of(canonicalJson(body));
}
