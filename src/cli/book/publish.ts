import { z } from 'zod';
import { gatherShare } from '../../book/share/gather-share.ts';
import { AppError } from '../../core/errors.ts';
import { sha256Of } from '../../domain/canonical-json.ts';
import { shareChoice } from '../../domain/share/share-choice.ts';
import { whatLeaves } from '../../domain/share/what-leaves.ts';
import { planSite } from '../../domain/site/build-site.ts';
import { siteWordsSchema } from '../../domain/site/site-words.ts';
import { words } from '../../verbs/verb.ts';
import type { BookShell } from '../book-shell.ts';
import { counted, plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';
import { mixesOf, sharerOf, sharingOptions } from './share.ts';

export const publishOptions = z.strictObject({
  ...sharingOptions,
  title: z
    .string()
    .min(1)
    .exactOptional()
    .meta(words({ option: 'title', value: 'TEXT', help: 'what the page is called' })),
  withNotes: z
    .boolean()
    .default(false)
    .meta(words({ option: 'with-notes', help: 'your notes on these mixes are on the page too' })),
  language: z
    .string()
    .min(1)
    .exactOptional()
    .meta(
      words({
        option: 'language',
        value: 'FILE',
        help: 'a JSON file with the words of the page in another language',
      }),
    ),
  out: z
    .string()
    .min(1)
    .meta(
      words({
        option: 'out',
        value: 'FOLDER',
        example: 'my-page',
        help: 'a folder that is not there yet, or a page made before',
      }),
    ),
});

/** Names the files that a page was made of, so that the next time only others are written. */
const LIST = 'files.json';
const listSchema = z.strictObject({
  format: z.literal('kneadwell-page'),
  files: z.record(z.string(), z.string()),
  /** What each was made from, where that is known: what was made from the same is not made again. */
  from: z.record(z.string(), z.string()).exactOptional(),
});

export async function publishAnswer(
  call: BookCall<z.output<typeof publishOptions>>,
  shell: BookShell,
): Promise<string> {
  const { books, ports } = shell;
  const { title = 'Recipes', withNotes, language, out } = call.options;
  const parts = await shell.siteParts();
  const own = language === undefined ? undefined : await wordsIn(language, shell);
  const before = await madeBefore(out, shell);
  const file = await books.lookAt(folderOf(call, shell), async (book) =>
    gatherShare(
      book,
      shareChoice.parse({
        ...(await sharerOf(book, call.options)),
        title,
        mixes: await mixesOf(book, call.options),
        clays: 'learned',
        withNotes,
      }),
      ports.madeWith,
    ),
  );
  const site = planSite(file, { ...parts, ...(own === undefined ? {} : { words: own }) });
  await books.makeFolder(out);
  await books.makeFolder(`${out}/m`);
  const sums: Record<string, string> = {};
  const sources: Record<string, string> = {};
  let written = 0;
  for (const [path, { from, made }] of site) {
    const there = before.get(path);
    if (from !== undefined) sources[path] = from;
    if (from !== undefined && there?.from === from) {
      sums[path] = there.sum;
      continue;
    }
    const content = made();
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    sums[path] = sha256Of(bytes);
    if (there?.sum === sums[path]) continue;
    await ports.files.write(`${out}/${path}`, bytes);
    written++;
  }
  const gone = [...before.keys()].filter((path) => !site.has(path));
  for (const path of gone) await books.removeFolder(`${out}/${path}`);
  const list = JSON.stringify({ format: 'kneadwell-page', files: sums, from: sources });
  await ports.files.write(`${out}/${LIST}`, new TextEncoder().encode(`${list}\n`));
  const { leaves } = whatLeaves(file);
  if (call.json) return json({ out, files: site.size, written, removed: gone.length, leaves });
  return [
    `${plain(out)}: ${counted(site.size, 'file')}, ${written} written, ${gone.length} removed. Open index.html, or put the folder on any web host.`,
    'On the page:',
    ...leaves.map((line) => `  ${plain(line)}`),
    '',
  ].join('\n');
}

/** Checksums of the page that is there. Refuses: a folder with anything else in it -> out-not-free (conflict) */
async function madeBefore(
  out: string,
  shell: BookShell,
): Promise<ReadonlyMap<string, { readonly sum: string; readonly from?: string }>> {
  const { books, ports } = shell;
  const names = await books.namesIn(out);
  if (names === undefined) {
    if ((await ports.files.look(out)).kind === 'nothing') return new Map();
    throw notAPage(out);
  }
  if (names.length === 0) return new Map();
  if (!names.includes(LIST)) throw notAPage(out);
  const text = new TextDecoder().decode(await ports.files.read(`${out}/${LIST}`));
  const read = listSchema.safeParse(jsonIn(text));
  if (!read.success) throw notAPage(out);
  const { files, from = {} } = read.data;
  // Only names that a page has: the list decides what is removed.
  const known = Object.entries(files).filter(([path]) =>
    /^(?:m\/)?[a-z0-9-]+(?:\.[a-z0-9]+)+$/.test(path),
  );
  return new Map(
    known.map(([path, sum]) => {
      const source = from[path];
      return [path, { sum, ...(source === undefined ? {} : { from: source }) }];
    }),
  );
}

async function wordsIn(path: string, shell: BookShell) {
  const text = shell.textOf(await shell.ports.files.read(path), path);
  const read = siteWordsSchema.safeParse(jsonIn(text));
  if (read.success) return read.data;
  throw new AppError({
    code: 'words-unreadable',
    kind: 'bad-input',
    detail: `${path} is no list of words for a page.`,
    hint: 'docs/share-file.md names the words: a JSON object of texts, each under its own key.',
  });
}

function jsonIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function notAPage(out: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${out} is there already, and no page of Kneadwell is in it.`,
    hint: 'Give --out another name.',
  });
}
