import { bookDoctor } from '../../book/book-doctor.ts';
import { checkBook } from '../../book/check-book.ts';
import { AppError } from '../../core/errors.ts';
import type { BookShell } from '../book-shell.ts';
import type { CommandAnswer } from '../command-parts.ts';
import { unreadableCall } from '../options.ts';
import { counted, plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';
import { doctorText } from './show-list.ts';

export async function backupAnswer(
  call: BookCall<{ to?: string }>,
  shell: BookShell,
): Promise<string> {
  const made = await shell.books.backUp(folderOf(call, shell), call.options.to);
  if (call.json) return json(made);
  const { path, bytes, manifest } = made;
  const lost =
    manifest.lacking.length === 0
      ? ''
      : ` ${counted(manifest.lacking.length, 'photo or clay file', 'photos or clay files')} were missing or damaged and are not in it; see "kneadwell verify".`;
  return `${counted(manifest.records, 'record')} and ${counted(manifest.files - 1, 'file')}, ${megabytes(bytes)}, read back and sound, in ${plain(path)}.${lost}\n`;
}

export async function restoreAnswer(call: BookCall, shell: BookShell): Promise<string> {
  const [from, ...more] = call.operands;
  if (from === undefined || more.length > 0) {
    throw unreadableCall('Which backup? Name one file.', 'restore');
  }
  const folder = folderOf(call, shell);
  const { check, oldBook } = await shell.books.restore(folder, from);
  if (call.json) {
    const { records, files } = check;
    return json({ folder, records, files, ...(oldBook === undefined ? {} : { oldBook }) });
  }
  const old = oldBook === undefined ? '' : ` The book from before is now in ${plain(oldBook)}.`;
  return `The book of ${check.manifest.madeAt.slice(0, 16).replace('T', ' ')} (UTC) is back in ${plain(folder)}: ${counted(check.records, 'record')}, looked through and sound.${old}\n`;
}

export async function verifyAnswer(call: BookCall, shell: BookShell): Promise<string> {
  const [path, ...more] = call.operands;
  if (more.length > 0) throw unreadableCall('One file at a time.', 'verify');
  const folder = folderOf(call, shell);
  const check =
    path === undefined
      ? await shell.books.lookAt(folder, checkBook)
      : await shell.books.checkBackup(path);
  const of = path ?? folder;
  if (check.troubles.length > 0) throw notSound(of, check.troubles);
  const { records, files, looseFiles } = check;
  if (call.json) return json({ of, records, files, troubles: [], looseFiles });
  return `${plain(of)} is sound: ${counted(records, 'record')} and ${counted(files, 'saved file')} looked through.\n`;
}

export async function doctorAnswer(call: BookCall, shell: BookShell): Promise<CommandAnswer> {
  const folder = folderOf(call, shell);
  const findings = bookDoctor(await shell.books.installation(folder));
  const says = call.json ? json({ folder, findings }) : doctorText(folder, findings);
  // A script looks at the exit code alone.
  return findings.some(({ status }) => status === 'broken') ? { says, kind: 'unavailable' } : says;
}

function megabytes(bytes: number): string {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

function notSound(of: string, troubles: readonly string[]): AppError {
  const more = troubles.length === 1 ? '' : ` There are ${troubles.length} such troubles.`;
  return new AppError({
    code: 'not-sound',
    kind: 'unavailable',
    detail: `${of} is not sound: ${troubles[0]}${more}`,
    hint: 'Do not change the file. "kneadwell restore" puts a backup in its place and keeps this book aside.',
    more: { troubles },
  });
}
