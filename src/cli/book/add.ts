import { addRecord } from '../../book/add-record.ts';
import { addShortName } from '../../book/add-short-name.ts';
import type { Changed } from '../../book/book.ts';
import type { BookService } from '../../book/book-service.ts';
import { importNotes } from '../../book/import-notes.ts';
import { pictureSize } from '../../book/picture-size.ts';
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
  const fields = rest.map((word) => {
    const at = word.indexOf('=');
    return at < 0 ? undefined : ([word.slice(0, at).trim(), word.slice(at + 1)] as const);
  });
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
  const wrong = fields.indexOf(undefined);
  if (wrong >= 0) {
    throw unreadableCall(
      `"${rest[wrong].slice(0, 40)}" is no field; write it like name=Kelp.`,
      'add',
    );
  }
  const sure = fields.flatMap((field) => (field === undefined ? [] : [field]));
  return addRecord(service, { kind, fields: sure, today: books.today() });
}

async function addPhoto(
  service: BookService,
  rest: readonly string[],
  ports: Ports,
  imageSize: BookShell['imageSize'],
): Promise<Changed> {
  const [path, ...words] = rest;
  if (path === undefined) throw unreadableCall('Which photo? Name its file.', 'add');
  const ending = /\.([a-z0-9]+)$/i.exec(path)?.[1].toLowerCase() ?? '';
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
  return { group, records: [record], repeated: false };
}

function changedText({ group, records }: Changed, asJson: boolean): string {
  if (asJson) return json({ change: group, records });
  const ids = records.length === 1 ? ` (${records[0].id})` : '';
  return `${plain(group.what)}${ids}. Change ${group.seq}; "kneadwell undo" takes it back.\n`;
}
