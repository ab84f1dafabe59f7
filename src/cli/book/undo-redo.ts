import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';

/** Takes a change back, or makes one again that was taken back. */
export async function turnAnswer(
  verb: 'undo' | 'redo',
  call: BookCall,
  shell: BookShell,
): Promise<string> {
  const [number, ...more] = call.operands;
  if (more.length > 0 || (number !== undefined && !/^\d{1,15}$/.test(number))) {
    throw unreadableCall('Give the number of one change, or none for the last.', verb);
  }
  const seq = number === undefined ? undefined : Number(number);
  const changed = await shell.books.throughService(folderOf(call, shell), false, (service) =>
    service[verb](seq),
  );
  if (call.json) return json({ change: changed.group, records: changed.records });
  return `${plain(changed.group.what)}\n`;
}
