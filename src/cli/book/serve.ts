import type { BookShell } from '../book-shell.ts';
import { counted, plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';

interface ServeOptions {
  readonly port?: number;
  readonly open: boolean;
}

export async function serveAnswer(call: BookCall<ServeOptions>, shell: BookShell): Promise<string> {
  await shell.serve({ folder: folderOf(call, shell), ...serveOptions(call, shell) });
  return '';
}

export async function demoAnswer(
  call: BookCall<ServeOptions & { gone: boolean; serve: boolean }>,
  shell: BookShell,
): Promise<string> {
  const { folder: around, gone, serve } = call.options;
  const folder = `${folderOf(call, shell)}/demo`;
  if (gone) {
    const was = await shell.demo.remove(folder);
    if (call.json) return json({ folder, gone: was });
    return was ? `The demo is gone from ${plain(folder)}.\n` : 'There was no demo.\n';
  }
  const made = await shell.demo.make(folder);
  if (serve) {
    await shell.serve({ folder, ...serveOptions(call, shell) });
    return '';
  }
  if (call.json) return json(made);
  return [
    `${made.made ? 'Made' : 'There is'} an invented studio: ${counted(made.records, 'record')} in ${plain(made.folder)}`,
    '',
    `  npx kneadwell serve --folder "${plain(made.folder)}"`,
    `  npx kneadwell list mix --folder "${plain(made.folder)}"`,
    `  npx kneadwell find --book --folder "${plain(made.folder)}" --aim "#8a9b6c"`,
    `  npx kneadwell demo --gone${around === undefined ? '' : ` --folder "${plain(around)}"`}`,
    '',
  ].join('\n');
}

function serveOptions({ options: { port, open } }: BookCall<ServeOptions>, { out }: BookShell) {
  return { ...(port === undefined ? {} : { port }), open, say: out };
}
