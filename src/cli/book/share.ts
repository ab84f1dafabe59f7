import { z } from 'zod';
import type { Book } from '../../book/book.ts';
import { bookServiceOf } from '../../book/book-service.ts';
import { findRecord } from '../../book/find-record.ts';
import { gatherShare } from '../../book/share/gather-share.ts';
import { AppError } from '../../core/errors.ts';
import { SETTINGS_ID } from '../../domain/records/settings-id.ts';
import { LICENCE_IDS } from '../../domain/share/licences.ts';
import { type SharedMixes, shareChoice } from '../../domain/share/share-choice.ts';
import { bytesFromShare } from '../../domain/share/share-codec.ts';
import { USUAL_LICENCE } from '../../domain/share/sharer.ts';
import { whatLeaves } from '../../domain/share/what-leaves.ts';
import { words } from '../../verbs/verb.ts';
import type { BookShell } from '../book-shell.ts';
import { folder } from '../shared-options.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';

const flag = (option: string, help: string) =>
  z.boolean().default(false).meta(words({ option, help }));
const text = (option: string, value: string, help: string) =>
  z.string().min(1).exactOptional().meta(words({ option, value, help }));

/** Which mixes, and whose they are; the same for all that leaves. */
export const sharingOptions = {
  folder,
  mixes: z
    .array(z.string().min(1))
    .exactOptional()
    .meta(
      words({
        option: 'mixes',
        value: '"A, B"',
        noun: 'mix',
        help: 'these mixes, by code, name or id; all of your own when left out',
      }),
    ),
  palette: text('palette', 'NAME', 'the mixes of a palette'),
  tag: text('tag', 'TAG', 'the mixes with this tag'),
  author: text('author', 'NAME', 'your name; the one saved in the settings when left out'),
  link: text('link', 'TEXT', 'where you are found'),
  words: text('words', 'TEXT', 'a few words of yours'),
  licence: z
    .enum(LICENCE_IDS)
    .exactOptional()
    .meta(
      words({ option: 'licence', value: 'NAME', help: 'what others may do; ask-me when left out' }),
    ),
};

export const shareOptions = z.strictObject({
  ...sharingOptions,
  title: text('title', 'TEXT', 'what the collection is called; Recipes when left out'),
  clays: shareChoice.shape.clays.meta(
    words({ option: 'clays', value: 'WHICH', help: 'whose mixing curves go along' }),
  ),
  withNotes: flag('with-notes', 'your notes on these mixes leave too'),
  withTags: flag('with-tags', 'your tags leave too'),
  withPrices: flag('with-prices', 'prices of clays leave too'),
  withReadings: flag('with-readings', 'every baked colour you read of these mixes leaves too'),
  withPhotos: flag(
    'with-photos',
    'a photo of each mix leaves too, made small and without place, time and camera',
  ),
  withWishes: flag('with-wishes', 'your wish list leaves too'),
  out: text('out', 'FILE', 'the share file; what would leave is only listed when left out'),
});
type Sharing = Pick<
  z.output<typeof shareOptions>,
  'mixes' | 'palette' | 'tag' | 'author' | 'link' | 'words' | 'licence'
>;

export async function shareAnswer(
  call: BookCall<z.output<typeof shareOptions>>,
  shell: BookShell,
): Promise<string> {
  const { books, ports } = shell;
  const {
    title = 'Recipes',
    clays,
    withNotes,
    withTags,
    withPrices,
    withReadings,
    withPhotos,
    withWishes,
    out,
  } = call.options;
  const file = await books.lookAt(folderOf(call, shell), async (book) => {
    const who = await sharerOf(book, call.options);
    const choice = shareChoice.parse({
      ...who,
      title,
      mixes: await mixesOf(book, call.options),
      clays,
      withNotes,
      withTags,
      withPrices,
      withReadings,
      withPhotos,
      withWishes,
    });
    return gatherShare(book, choice, ports.madeWith, { drawer: shell.drawer });
  });
  const bytes = bytesFromShare(file);
  const { leaves, stays } = whatLeaves(file);
  if (out !== undefined) await ports.files.write(out, bytes);
  if (call.json) {
    return json({ ...(out === undefined ? {} : { out }), bytes: bytes.length, leaves, stays });
  }
  return [
    out === undefined ? 'This would leave:' : `In ${plain(out)}, ${bytes.length} bytes:`,
    ...leaves.map((line) => `  ${plain(line)}`),
    `It stays with you: ${stays.join(', ')}.`,
    ...(out === undefined ? ['Name a file with --out to write it.'] : []),
    '',
  ].join('\n');
}

/** Name, words and licence: as the call says, else as the settings say. */
export async function sharerOf(book: Book, said: Sharing) {
  const settings = await book.ports.store.get(SETTINGS_ID);
  const saved = settings?.kind === 'settings' ? settings.body.sharer : undefined;
  const author = said.author ?? saved?.author;
  if (author === undefined) throw noAuthor();
  const link = said.link ?? saved?.link;
  const own = said.words ?? saved?.words;
  return {
    author,
    ...(link === undefined ? {} : { link }),
    ...(own === undefined ? {} : { words: own }),
    licence: said.licence ?? saved?.licence ?? USUAL_LICENCE,
  };
}

/** The mixes a call names. */
export async function mixesOf(book: Book, said: Sharing): Promise<SharedMixes> {
  const service = bookServiceOf(book);
  if (said.mixes !== undefined) {
    const mixIds: string[] = [];
    for (const word of said.mixes) mixIds.push((await findRecord(service, word, ['mix'])).id);
    return { mixIds };
  }
  if (said.palette !== undefined) {
    return { paletteId: (await findRecord(service, said.palette, ['palette'])).id };
  }
  return said.tag === undefined ? { all: true } : { tag: said.tag };
}

function noAuthor(): AppError {
  return new AppError({
    code: 'no-author',
    kind: 'bad-input',
    detail: 'Nobody is named as the author.',
    hint: 'Name yourself with --author, or save your name in the settings.',
  });
}
