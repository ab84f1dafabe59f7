import { exportBook } from '../../book/export-book.ts';
import { AppError } from '../../core/errors.ts';
import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import { counted, plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json, noKind } from './call.ts';
import { type ImportOptions, importFiles } from './import-files.ts';
import { bookKindFrom } from './show-list.ts';

export async function importAnswer(
  call: BookCall<ImportOptions>,
  shell: BookShell,
): Promise<string> {
  const all = await importFiles(call, shell);
  return all
    .map(({ file, as, says, fields }) =>
      call.json ? json({ file, as, ...fields }) : `${plain(file)}: ${says}\n`,
    )
    .join('');
}

interface ExportOptions {
  readonly out: string;
  readonly as: 'json' | 'csv';
  readonly kind?: string;
}

export async function exportAnswer(
  call: BookCall<ExportOptions>,
  shell: BookShell,
): Promise<string> {
  const { books, ports } = shell;
  const { out, as, kind: named } = call.options;
  const kind = named === undefined ? undefined : bookKindFrom(named);
  if (named !== undefined && kind === undefined) throw noKind(named, 'export');
  const single = /\.(?:json|csv)$/i.test(out);
  if (single && as === 'csv' && kind === undefined) {
    throw unreadableCall(
      'Tables of all kinds are several files; name a folder, or a --kind.',
      'export',
    );
  }
  const look = await ports.files.look(out);
  if (look.kind !== 'nothing') throw outTaken(out);
  const written = await books.lookAt(folderOf(call, shell), async (book) => {
    const asked = { as, files: !single, ...(kind === undefined ? {} : { kind }) } as const;
    if (!single) await books.makeFolder(out);
    try {
      return await exportBook(book, asked, shell.exports, async ({ path, bytes }) => {
        if (path.startsWith('photos/')) await books.makeFolder(`${out}/photos`);
        await ports.files.write(single ? out : `${out}/${path}`, bytes);
      });
    } catch (fault) {
      // Half an export looks like a whole one, and stands in the way of the next.
      if (!single) await books.removeFolder(out);
      throw fault;
    }
  });
  if (call.json) return json({ out, as, ...written });
  const lost =
    written.lacking.length === 0
      ? ''
      : ` The files of ${written.lacking.length} of them are missing.`;
  return `${counted(written.records, 'record')} in ${counted(written.files, 'file')}, in ${plain(out)}.${lost}\n`;
}

function outTaken(out: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${out} is there already.`,
    hint: 'Give --out another name.',
  });
}
