import { z } from 'zod';
import { fileNameOf, makeCards } from '../../book/share/make-card.ts';
import type { TranslateWith } from '../../book/share/other-lines.ts';
import { cardSize, paper } from '../../domain/share/print-call.ts';
import { openClay } from '../../verbs/open-clay.ts';
import { translate } from '../../verbs/translate.ts';
import { asked, words } from '../../verbs/verb.ts';
import type { BookShell } from '../book-shell.ts';
import type { Ports } from '../ports.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';
import { mixesOf, sharerOf, sharingOptions } from './share.ts';

export const cardOptions = z.strictObject({
  ...sharingOptions,
  out: z
    .string()
    .min(1)
    .meta(
      words({
        option: 'out',
        value: 'PLACE',
        example: 'card.png',
        help: 'a file ending in .png, .svg or .pdf; a folder for pictures of several mixes',
      }),
    ),
  size: cardSize.meta(words({ option: 'size', value: 'SIZE', help: 'shape of a picture' })),
  paper: paper.meta(words({ option: 'paper', value: 'NAME', help: 'size of the paper of a .pdf' })),
  alone: z
    .boolean()
    .default(false)
    .meta(words({ option: 'alone', help: 'without the same colour from other lines' })),
});

export async function cardAnswer(
  call: BookCall<z.output<typeof cardOptions>>,
  shell: BookShell,
): Promise<string> {
  const { books, ports } = shell;
  const { out, size, paper: pages, alone } = call.options;
  const ending = /\.(png|svg|pdf)$/i.exec(out)?.[1]?.toLowerCase() as 'png' | 'svg' | 'pdf';
  const drawer = await shell.drawer();
  const made = await books.lookAt(folderOf(call, shell), async (book) => {
    const choice = {
      ...(await sharerOf(book, call.options)),
      mixes: await mixesOf(book, call.options),
    };
    const asks = { choice, as: ending ?? 'png', size, paper: pages, others: !alone };
    return makeCards(book, asks, ports.madeWith, drawer, translateHere(ports));
  });
  const folder = ending === undefined || (ending !== 'pdf' && made.length > 1);
  if (folder) await books.makeFolder(out);
  const names = new Set<string>();
  const cards = [];
  for (const { title, bytes } of made) {
    const place = folder ? `${out}/${freeName(title, names)}.${ending ?? 'png'}` : out;
    await ports.files.write(place, bytes);
    cards.push({ title, out: place, bytes: bytes.length });
  }
  if (call.json) return json({ cards });
  return cards.map((card) => `${plain(card.title)}: ${plain(card.out)}\n`).join('');
}

/** Translates in this process. */
export function translateHere(ports: Ports): TranslateWith {
  return async ({ bytes, title }, question) => {
    const clay = openClay(bytes, title);
    return (await asked(translate.ask(clay, question), ports)).answer.translated;
  };
}

function freeName(title: string, taken: Set<string>): string {
  const name = fileNameOf(title);
  let free = name;
  for (let n = 2; taken.has(free); n++) free = `${name}-${n}`;
  taken.add(free);
  return free;
}
