import { addRecord, changeRecord } from '../../book/add-record.ts';
import { addShortName } from '../../book/add-short-name.ts';
import { type Changed, changedRecord } from '../../book/book.ts';
import type { BookService } from '../../book/book-service.ts';
import { findRecord } from '../../book/find-record.ts';
import { importNotes } from '../../book/import-notes.ts';
import { pictureSize } from '../../book/picture-size.ts';
import { invalidInput } from '../../core/errors.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { PHOTO_TYPES } from '../../domain/records/sample-bodies.ts';
import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import type { Ports } from '../ports.ts';
import { renamedKind } from '../renamed.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json, noKind } from './call.ts';
import { bookKindFrom } from './show-list.ts';

export async function addAnswer(
  call: BookCall<{ basis?: Basis }>,
  shell: BookShell,
): Promise<string> {
  const [first, ...rest] = call.operands;
  if (first === undefined) {
    throw unreadableCall('What? A mix in shorthand, or a kind of record and its fields.', 'add');
  }
  const folder = folderOf(call, shell);
  const changed = await shell.books.throughService(folder, true, (service) =>
    addAt(service, first, rest, call.options.basis, shell),
  );
  return changedText(changed, call.json);
}

async function addAt(
  service: BookService,
  first: string,
  rest: readonly string[],
  basis: Basis | undefined,
  { books, ports, imageSize }: BookShell,
): Promise<Changed> {
  const fields = rest.map(fieldIn);
  const kind = bookKindFrom(first);
  if (renamedKind(first) !== undefined) throw noKind(first, 'add');
  if (first === 'short-name') {
    const [shortName] = rest;
    const of = rest
      .slice(1)
      .map((word) => word.replace(/^of=/, ''))
      .join(' ');
    if (shortName === undefined || of === '') {
      throw unreadableCall(
        'Write a short name and its clay, like add short-name G of=Foam.',
        'add',
      );
    }
    return addShortName(service, shortName, of);
  }
  if (kind === 'photo') return addPhoto(service, rest, ports, imageSize);
  const spoken =
    kind === undefined || (kind === 'mix' && fields.some((field) => field === undefined));
  if (
    kind === undefined &&
    rest.length > 0 &&
    /^[\w-]+$/.test(first) &&
    !fields.includes(undefined)
  ) {
    throw noKind(first, 'add');
  }
  if (spoken) {
    const text = (kind === 'mix' ? rest : [first, ...rest]).join(' ');
    const { changed } = await importNotes(service, {
      text,
      from: 'What you wrote',
      newId: () => books.newId(),
      ...(basis === undefined ? {} : { basis }),
    });
    if (changed === undefined) throw unreadableCall('That line holds no mix.', 'add');
    return changed;
  }
  return addRecord(service, { kind, fields: fieldsIn(rest, 'add'), today: books.today() });
}

function fieldIn(word: string): readonly [string, string] | undefined {
  const at = word.indexOf('=');
  return at < 0 ? undefined : [word.slice(0, at).trim(), word.slice(at + 1)];
}

function fieldsIn(words: readonly string[], command: string) {
  return words.map((word) => {
    const field = fieldIn(word);
    if (field !== undefined) return field;
    throw unreadableCall(`"${word.slice(0, 40)}" is no field; write it like name=Kelp.`, command);
  });
}

/** Gives some fields of a record another value. */
export async function changeAnswer(call: BookCall, shell: BookShell): Promise<string> {
  const [what, ...rest] = call.operands;
  if (what === undefined || rest.length === 0) {
    throw unreadableCall('Which record, and which fields? Like change K7 thicknessMm=4.', 'change');
  }
  const fields = fieldsIn(rest, 'change');
  const changed = await shell.books.throughService(folderOf(call, shell), false, async (service) =>
    changeRecord(service, { record: await recordFor(service, what), fields }),
  );
  return changedText(changed, call.json);
}

/** "tile K7" looks among tiles alone, where a mix has the same code. */
async function recordFor(service: BookService, what: string) {
  const [first = '', ...words] = what.trim().split(/\s+/);
  const kind = words.length > 0 ? bookKindFrom(first) : undefined;
  return kind === undefined
    ? findRecord(service, what)
    : findRecord(service, words.join(' '), [kind]);
}

async function addPhoto(
  service: BookService,
  rest: readonly string[],
  ports: Ports,
  imageSize: BookShell['imageSize'],
): Promise<Changed> {
  const [path, ...words] = rest;
  if (path === undefined) throw unreadableCall('Which photo? Name its file.', 'add');
  const ending = /\.([a-z0-9]+)$/i.exec(path)?.[1]?.toLowerCase() ?? '';
  const alike: Readonly<Record<string, string>> = { jpeg: 'jpg', tiff: 'tif', heif: 'heic' };
  const types = Object.entries(PHOTO_TYPES) as [keyof typeof PHOTO_TYPES, string][];
  const type = types.find(([, known]) => known === (alike[ending] ?? ending))?.[0];
  if (type === undefined) {
    throw unreadableCall(`A photo ends in ${types.map(([, known]) => known).join(', ')}.`, 'add');
  }
  const bytes = await ports.files.read(path);
  const name = words.find((word) => word.startsWith('name='))?.slice(5);
  const fileName = path.split(/[\\/]/).at(-1)!;
  const size = pictureSize(bytes, type, imageSize);
  const body = { ...size, fileName, ...(name === undefined ? {} : { name }) };
  const record = await service.savePhoto(
    bytes,
    body,
    `Saved the photo ${name ?? fileName}`.slice(0, 300),
  );
  const [group] = await service.changes(1);
  if (group === undefined) throw invalidInput('The photo is in no change.');
  return { group, records: [record], repeated: false };
}

function changedText({ group, records }: Changed, asJson: boolean): string {
  if (asJson) return json({ change: group, records });
  const ids = records.length === 1 ? ` (${changedRecord({ records }).id})` : '';
  return `${plain(group.what)}${ids}. Change ${group.seq}; "kneadwell undo" takes it back.\n`;
}
