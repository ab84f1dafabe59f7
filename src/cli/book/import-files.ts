import { endingOf } from '../../book/export-book.ts';
import { importNotes, type NotesImported } from '../../book/import-notes.ts';
import { importReadings, type ReadingsImported } from '../../book/import-readings.ts';
import type { ImportCall } from '../../book/import-records.ts';
import { lookAtShare, type TakenIn, takeShare } from '../../book/share/take-share.ts';
import { AppError } from '../../core/errors.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { ImportKind } from '../../domain/import-kinds.ts';
import { READING_DEFAULTS, type Reading } from '../../domain/records/reading.ts';
import type { BookRecord } from '../../domain/records/record.ts';
import { curvesInWords } from '../../domain/share/curves-in-words.ts';
import { licenceOf } from '../../domain/share/licences.ts';
import { shareOfPublished } from '../../domain/share/published.ts';
import { shareFromPayload } from '../../domain/share/recipe-payload.ts';
import { shareFromBytes } from '../../domain/share/share-codec.ts';
import type { ShareFile } from '../../domain/share/share-file.ts';
import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import { counted, plain } from '../terminal-output.ts';
import type { BookCall } from './call.ts';

export interface ImportOptions {
  readonly as?: ImportKind;
  readonly line?: string;
  readonly basis?: Basis;
  /** Of readings that do not state theirs. */
  readonly gloss?: 'included' | 'excluded';
  readonly check: boolean;
  readonly replace: boolean;
}
type ImportCommand = BookCall<ImportOptions>;

export interface ImportedFile {
  readonly file: string;
  readonly as: ImportKind;
  readonly says: string;
  readonly fields: object;
}

/** Takes the files of a call into the book, one after the other; each whole or not at all. */
export async function importFiles(
  call: ImportCommand,
  shell: BookShell,
): Promise<readonly ImportedFile[]> {
  if (call.operands.length === 0) throw unreadableCall('Which file? Name at least one.', 'import');
  const imported: ImportedFile[] = [];
  for (const path of call.operands) imported.push(await importOne(path, call, shell));
  return imported;
}

async function importOne(
  path: string,
  call: ImportCommand,
  shell: BookShell,
): Promise<ImportedFile> {
  const { books, ports } = shell;
  const { as, basis, gloss, check, line, folder: named } = call.options;
  const names = await books.namesIn(path);
  if (names !== undefined) return importExport(path, names, call, shell);
  const bytes = await ports.files.read(path);
  if (as === undefined && shell.imageSize(bytes) !== undefined) {
    return importShare(path, shareFromPayload(await codeIn(bytes, path, shell)), call, shell);
  }
  const kind = as ?? shell.kindOf(bytes, path);
  if (kind === 'export') return importExport(path, undefined, call, shell);
  const folder = books.folderOf(named);
  if (kind === 'readings') {
    const read = ports.readers.readings(bytes, path, basis ?? READING_DEFAULTS.basis);
    if (check) {
      const says = `${counted(read.readings.length, 'reading')} can be read; nothing was saved.`;
      return { file: path, as: kind, says, fields: { readings: read.readings.length } };
    }
    const taken = await books.throughService(folder, true, (service) =>
      importReadings(service, {
        readings: read.readings.map((reading) => withGloss(reading, gloss)),
        newId: () => books.newId(),
        ...(line === undefined ? {} : { newLine: line }),
      }),
    );
    return { file: path, as: kind, says: readingsSay(taken), fields: { ...taken } };
  }
  if (kind === 'published') {
    return importShare(path, shareOfPublished(shell.textOf(bytes, path), path), call, shell);
  }
  if (kind === 'share') return importShare(path, shareFromBytes(bytes, path), call, shell);
  const taken = await books.throughService(folder, true, (service) =>
    importNotes(service, {
      text: shell.textOf(bytes, path),
      from: path,
      check,
      newId: () => books.newId(),
      ...(basis === undefined ? {} : { basis }),
    }),
  );
  return { file: path, as: kind, ...shorthandSays(taken) };
}

/** Recipes of somebody else, from a file or a card. */
async function importShare(
  path: string,
  shared: ShareFile,
  call: ImportCommand,
  shell: BookShell,
): Promise<ImportedFile> {
  const { books } = shell;
  const { check, folder } = call.options;
  const { fields } = await books.throughService(books.folderOf(folder), true, async (service) =>
    check
      ? { fields: { ...(await lookAtShare(service, shared)) } }
      : takenShare(await takeShare(service, shared, () => books.newId())),
  );
  return { file: path, as: 'share', says: shareSays(shared, fields, check), fields };
}

async function codeIn(bytes: Uint8Array, path: string, shell: BookShell): Promise<string> {
  const text = await shell.readQr(bytes);
  if (text !== undefined) return text;
  throw new AppError({
    code: 'card-unreadable',
    kind: 'bad-input',
    detail: `No code of a recipe card can be read in ${path}.`,
    hint: 'Photograph the code again, straight from above and in good light, so that it fills a third of the photo. To save the photo itself, say "kneadwell add photo".',
  });
}

function takenShare({ changed, ...taken }: TakenIn) {
  return { fields: { ...taken, seq: changed.group.seq } };
}

function shareSays(
  { title, author, licence, mixes, words }: ShareFile,
  { sameClays, newClays, curves }: Pick<TakenIn, 'sameClays' | 'newClays' | 'curves'>,
  check: boolean,
): string {
  const { name, says } = licenceOf(licence);
  const count = counted(mixes.length, 'mix', 'mixes');
  const yours =
    sameClays.length === 0
      ? ''
      : ` You know ${counted(sameClays.length, 'clay')} of them: ${sameClays.join(', ')}.`;
  const fresh =
    newClays.length === 0 ? '' : ` ${counted(newClays.length, 'clay')} that you do not own.`;
  return [
    `${plain(title)} by ${plain(author)}: ${count}${check ? ' can be taken in; nothing was saved' : ' taken in, marked as theirs'}.`,
    ...(words === undefined ? [] : [plain(words)]),
    plain(`${yours}${fresh}`.trim()),
    curvesInWords(curves),
    `${name}: ${says}`,
    ...(check
      ? []
      : [
          '"kneadwell translate --book" finds the same colours with your clays; "kneadwell undo" takes all of it back.',
        ]),
  ]
    .filter((line) => line !== '')
    .join('\n');
}

function withGloss(reading: Reading, gloss: ImportOptions['gloss']): Reading {
  return gloss === undefined || reading.geometry !== 'unstated'
    ? reading
    : { ...reading, geometry: gloss };
}

async function importExport(
  path: string,
  names: readonly string[] | undefined,
  call: ImportCommand,
  shell: BookShell,
): Promise<ImportedFile> {
  const { books, ports } = shell;
  const tables =
    names === undefined
      ? [path]
      : names.filter((name) => name === 'book.json' || /^[a-z-]+\.csv$/.test(name));
  if (tables.length === 0) {
    throw new AppError({
      code: 'export-unreadable',
      kind: 'bad-input',
      detail: `${path} holds no export: neither book.json nor tables.`,
      hint: 'Name a folder that "kneadwell export" made, or a file.',
    });
  }
  const records: BookRecord[] = [];
  for (const name of tables) {
    const file = names === undefined ? path : `${path}/${name}`;
    records.push(...shell.recordsOf(await ports.files.read(file), file));
  }
  if (call.options.check) {
    const says = `${counted(records.length, 'record')} can be read; nothing was saved.`;
    return { file: path, as: 'export', says, fields: { records: records.length } };
  }
  const files: ImportCall['files'][number][] = [];
  const kept = names?.includes('photos') === true ? await books.namesIn(`${path}/photos`) : [];
  for (const record of records) {
    if (record.kind !== 'photo' && record.kind !== 'clay-model') continue;
    const name = `${record.body.sha256}.${endingOf(record)}`;
    if (kept?.includes(name) !== true) continue;
    files.push({
      bytes: await ports.files.read(`${path}/photos/${name}`),
      ending: endingOf(record),
    });
  }
  const folder = books.folderOf(call.options.folder);
  const fields = await books.throughService(folder, true, (service) =>
    service.importRecords({
      records,
      files,
      what: `Imported ${counted(records.length, 'record')} from ${path}`.slice(0, 300),
      replace: call.options.replace,
    }),
  );
  const { fresh, replaced, same } = fields;
  const says = `${counted(fresh, 'new record')}, ${replaced} replaced, ${same} there already.`;
  return { file: path, as: 'export', says, fields };
}

function readingsSay({ readings, tiles, blocks, same, alike }: ReadingsImported): string {
  const made = blocks === 0 ? '' : `, ${counted(blocks, 'new block')}`;
  const there = same === 0 ? '' : `; ${same} were there already`;
  const says = `${counted(readings, 'reading')} of ${counted(tiles, 'new tile')}${made} saved${there}.`;
  return [says, ...alike.map(plain)].join('\n');
}

function shorthandSays({ mixes, assumed, changed }: NotesImported) {
  const notes = assumed.map(({ line, note }) => `  line ${line}: ${plain(note)}`);
  const count = counted(mixes, 'mix', 'mixes');
  const says = [
    changed === undefined ? `${count} can be read; nothing was saved.` : `${count} saved.`,
    ...notes,
  ].join('\n');
  return {
    says,
    fields: { mixes, ...(changed === undefined ? {} : { seq: changed.group.seq }) },
  };
}
