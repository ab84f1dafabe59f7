import { type Given, numberOf, oneValue } from '../options.ts';
import { counted, plain } from '../terminal-output.ts';
import type { BookShell } from './book-shell.ts';
import { folderOf, isJson, json, noOperands } from './call.ts';
import type { BookVerb } from './verbs.ts';

export async function serveAnswer(given: Given, shell: BookShell): Promise<string> {
  noOperands(given, 'serve');
  await shell.serve({ folder: folderOf(given, shell), ...serveOptions(given, shell, 'serve') });
  return '';
}

export async function demoAnswer(given: Given, shell: BookShell): Promise<string> {
  noOperands(given, 'demo');
  const around = oneValue(given, 'folder');
  const folder = `${folderOf(given, shell)}/demo`;
  if (given.switches.has('gone')) {
    const was = await shell.demo.remove(folder);
    if (isJson(given)) return json({ folder, gone: was });
    return was ? `The demo is gone from ${plain(folder)}.\n` : 'There was no demo.\n';
  }
  const made = await shell.demo.make(folder);
  if (given.switches.has('serve')) {
    await shell.serve({ folder, ...serveOptions(given, shell, 'demo') });
    return '';
  }
  if (isJson(given)) return json(made);
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

function serveOptions(given: Given, shell: BookShell, verb: BookVerb) {
  const port = given.values.has('port')
    ? { port: numberOf(given, 'port', 0, [0, 65_535], verb, true) }
    : {};
  return { ...port, open: given.switches.has('open'), say: shell.out };
}
