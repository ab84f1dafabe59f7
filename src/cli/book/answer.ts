import { addRecord } from '../../app/book/add-record.ts';
import { addSign } from '../../app/book/add-sign.ts';
import type { Changed } from '../../app/book/book.ts';
import { bookDoctor } from '../../app/book/book-doctor.ts';
import { checkBook } from '../../app/book/check-book.ts';
import { allAt, type Desk } from '../../app/book/desk.ts';
import { exportBook } from '../../app/book/export-book.ts';
import { findRecord } from '../../app/book/find-record.ts';
import { pictureSize } from '../../app/book/picture-size.ts';
import { SORTS } from '../../app/book/ports.ts';
import { takeShorthand } from '../../app/book/shorthand-of-book.ts';
import type { Ports } from '../../app/ports.ts';
import { BOOK_KINDS, type BookRecord } from '../../contract/book/record.ts';
import { PHOTO_TYPES } from '../../contract/book/sample-bodies.ts';
import { AppError } from '../../core/errors.ts';
import { mixResolver } from '../../core/mixes/resolve-mix.ts';
import { nearestNames } from '../../core/recipe/nearest-name.ts';
import {
  basisOf,
  type Given,
  neededValue,
  numberOf,
  oneValue,
  unreadableCall,
} from '../options.ts';
import { counted, plain } from '../paper.ts';
import type { BookShell } from './book-shell.ts';
import { importFiles } from './import-files.ts';
import { bookText, doctorText, kindFrom, listText, stockText } from './show-list.ts';
import { changeLine, namesFor, recordText } from './show-record.ts';
import type { BookVerb } from './verbs.ts';

export function bookAnswer(verb: BookVerb, given: Given, shell: BookShell): Promise<string> {
  return ANSWERS[verb](given, shell);
}

const isJson = ({ switches }: Given) => switches.has('json');
const json = (value: unknown) => `${JSON.stringify(value)}\n`;
const folderOf = (given: Given, { books }: BookShell) => books.folderOf(oneValue(given, 'folder'));

function noOperands(given: Given, verb: BookVerb): void {
  if (given.operands.length === 0) return;
  throw unreadableCall(`"${given.operands[0].slice(0, 40)}" is one word too many.`, verb);
}

const ANSWERS: Readonly<Record<BookVerb, (given: Given, shell: BookShell) => Promise<string>>> = {
  async serve(given, shell) {
    noOperands(given, 'serve');
    await shell.serve({ folder: folderOf(given, shell), ...serveOptions(given, shell, 'serve') });
    return '';
  },

  async book(given, shell) {
    noOperands(given, 'book');
    const folder = folderOf(given, shell);
    return shell.books.atDesk(folder, false, async (desk) => {
      const counts = await desk.counts();
      const changes = await desk.changes(5);
      return isJson(given)
        ? json({ folder, ...counts, changes })
        : bookText(folder, counts, changes);
    });
  },

  async add(given, shell) {
    const [first, ...rest] = given.operands;
    if (first === undefined) {
      throw unreadableCall('What? A mix in shorthand, or a kind of record and its fields.', 'add');
    }
    const folder = folderOf(given, shell);
    const changed = await shell.books.atDesk(folder, true, (desk) =>
      addAt(desk, first, rest, given, shell),
    );
    return changedText(changed, given);
  },

  async import(given, shell) {
    const all = await importFiles(given, shell);
    return all
      .map(({ file, as, says, told }) =>
        isJson(given) ? json({ file, as, ...told }) : `${plain(file)}: ${says}\n`,
      )
      .join('');
  },

  async export(given, shell) {
    noOperands(given, 'export');
    const { books, ports } = shell;
    const out = neededValue(given, 'out', '--out book-export', 'export');
    const as = oneValue(given, 'as') ?? 'json';
    if (as !== 'json' && as !== 'csv') {
      throw unreadableCall(`--as is "${as.slice(0, 40)}"; it is json or csv.`, 'export');
    }
    const named = oneValue(given, 'kind');
    const kind = named === undefined ? undefined : kindFrom(named);
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
    const told = await books.lookAt(folderOf(given, shell), async (book) => {
      const call = { as, files: !single, ...(kind === undefined ? {} : { kind }) } as const;
      if (!single) await books.makeFolder(out);
      try {
        return await exportBook(book, call, shell.exports, async ({ path, bytes }) => {
          if (path.startsWith('photos/')) await books.makeFolder(`${out}/photos`);
          await ports.files.write(single ? out : `${out}/${path}`, bytes);
        });
      } catch (fault) {
        // Half an export looks like a whole one, and stands in the way of the next.
        if (!single) await books.removeFolder(out);
        throw fault;
      }
    });
    if (isJson(given)) return json({ out, as, ...told });
    const lost =
      told.lacking.length === 0 ? '' : ` The files of ${told.lacking.length} of them are missing.`;
    return `${counted(told.records, 'record')} in ${counted(told.files, 'file')}, in ${plain(out)}.${lost}\n`;
  },

  async show(given, shell) {
    const words = given.operands.join(' ');
    if (words.trim() === '')
      throw unreadableCall('Which record? Give a code, a name or an id.', 'show');
    return shell.books.atDesk(folderOf(given, shell), false, async (desk) => {
      const record = await findRecord(desk, words);
      const history = given.switches.has('history')
        ? await desk.history(record.id, 100)
        : undefined;
      const resolved = record.kind === 'mix' ? await blocksOf(desk, record) : undefined;
      if (isJson(given)) {
        return json({
          record,
          ...resolved,
          ...(history === undefined ? {} : { history: history.map(({ group }) => group) }),
        });
      }
      const ids = resolved?.blocks?.map(({ id }) => id) ?? [];
      const names = await namesFor(desk, record, ids);
      return recordText({
        record,
        names,
        ...resolved,
        ...(history === undefined ? {} : { history }),
      });
    });
  },

  async list(given, shell) {
    const [word, ...more] = given.operands;
    if (more.length > 0) throw unreadableCall('One kind at a time.', 'list');
    const top = numberOf(given, 'top', 50, [1, 500], 'list', true);
    return shell.books.atDesk(folderOf(given, shell), false, async (desk) => {
      if (word === 'changes') {
        const changes = await desk.changes(top);
        return isJson(given) ? json({ changes }) : `${changes.map(changeLine).join('\n')}\n`;
      }
      if (word === 'stock') return stockAt(desk, given);
      const kind = word === undefined ? undefined : kindFrom(word);
      if (word !== undefined && kind === undefined) throw noKind(word, 'list');
      const sort = oneValue(given, 'sort') ?? 'name';
      const known = SORTS.find((name) => name === sort);
      if (known === undefined) {
        throw unreadableCall(
          `--sort is "${sort.slice(0, 40)}"; it is ${SORTS.join(', ')}.`,
          'list',
        );
      }
      const search = oneValue(given, 'search');
      const tag = oneValue(given, 'tag');
      const status = oneValue(given, 'status');
      if (
        search !== undefined &&
        (tag !== undefined || status !== undefined || given.switches.has('bin'))
      ) {
        throw unreadableCall('--search goes alone, without --tag, --status and --bin.', 'list');
      }
      const { records, total } =
        search !== undefined
          ? await desk.search({
              text: search,
              limit: Math.min(top, 200),
              ...(kind === undefined ? {} : { kinds: [kind] }),
            })
          : await desk.list({
              sort: known,
              descending: known === 'changed' || known === 'created',
              limit: top,
              ...(kind === undefined ? {} : { kind }),
              ...(tag === undefined ? {} : { tag }),
              ...(status === undefined ? {} : { status }),
              ...(given.switches.has('bin') ? { bin: true } : {}),
            });
      return isJson(given) ? json({ records, total }) : listText(records, total);
    });
  },

  undo: (given, shell) => turn('undo', given, shell),
  redo: (given, shell) => turn('redo', given, shell),

  async backup(given, shell) {
    noOperands(given, 'backup');
    const made = await shell.books.backUp(folderOf(given, shell), oneValue(given, 'to'));
    if (isJson(given)) return json(made);
    const { path, bytes, manifest } = made;
    const lost =
      manifest.lacking.length === 0
        ? ''
        : ` ${counted(manifest.lacking.length, 'photo or clay file', 'photos or clay files')} were missing or damaged and are not in it; see "kneadwell verify".`;
    return `${counted(manifest.records, 'record')} and ${counted(manifest.files - 1, 'file')}, ${megabytes(bytes)}, read back and sound, in ${plain(path)}.${lost}\n`;
  },

  async restore(given, shell) {
    const [from, ...more] = given.operands;
    if (from === undefined || more.length > 0) {
      throw unreadableCall('Which backup? Name one file.', 'restore');
    }
    const folder = folderOf(given, shell);
    const { check, oldBook } = await shell.books.restore(folder, from);
    if (isJson(given)) {
      const { records, files } = check;
      return json({ folder, records, files, ...(oldBook === undefined ? {} : { oldBook }) });
    }
    const old = oldBook === undefined ? '' : ` The book that was there lies in ${plain(oldBook)}.`;
    return `The book of ${check.manifest.madeAt.slice(0, 16).replace('T', ' ')} (UTC) is back in ${plain(folder)}: ${counted(check.records, 'record')}, looked through and sound.${old}\n`;
  },

  async verify(given, shell) {
    const [path, ...more] = given.operands;
    if (more.length > 0) throw unreadableCall('One file at a time.', 'verify');
    const folder = folderOf(given, shell);
    const check =
      path === undefined
        ? await shell.books.lookAt(folder, checkBook)
        : await shell.books.checkBackup(path);
    const of = path ?? folder;
    if (check.troubles.length > 0) throw notSound(of, check.troubles);
    const { records, files, looseFiles } = check;
    if (isJson(given)) return json({ of, records, files, troubles: [], looseFiles });
    return `${plain(of)} is sound: ${counted(records, 'record')} and ${counted(files, 'kept file')} looked through.\n`;
  },

  async doctor(given, shell) {
    noOperands(given, 'doctor');
    const folder = folderOf(given, shell);
    const findings = bookDoctor(await shell.books.installation(folder));
    return isJson(given) ? json({ folder, findings }) : doctorText(folder, findings);
  },

  async demo(given, shell) {
    noOperands(given, 'demo');
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
      `  npx kneadwell seek --book --folder "${plain(made.folder)}" --aim "#8a9b6c"`,
      '  npx kneadwell demo --gone',
      '',
    ].join('\n');
  },
};

function serveOptions(given: Given, shell: BookShell, verb: BookVerb) {
  const port = given.values.has('port')
    ? { port: numberOf(given, 'port', 0, [0, 65_535], verb, true) }
    : {};
  return { ...port, open: given.switches.has('open'), say: shell.out };
}

async function addAt(
  desk: Desk,
  first: string,
  rest: readonly string[],
  given: Given,
  { books, ports, imageSize }: BookShell,
): Promise<Changed> {
  const fields = rest.map((word) => {
    const at = word.indexOf('=');
    return at < 0 ? undefined : ([word.slice(0, at).trim(), word.slice(at + 1)] as const);
  });
  const kind = kindFrom(first);
  if (first === 'sign') {
    const [sign] = rest;
    const of = rest
      .slice(1)
      .map((word) => word.replace(/^of=/, ''))
      .join(' ');
    if (sign === undefined || of === '') {
      throw unreadableCall('A sign and what it stands for, like add sign G of=Foam.', 'add');
    }
    return addSign(desk, sign, of);
  }
  if (kind === 'photo') return addPhoto(desk, rest, ports, imageSize);
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
    const basis = basisOf(given, 'add');
    const text = (kind === 'mix' ? rest : [first, ...rest]).join(' ');
    const { changed } = await takeShorthand(desk, {
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
  return addRecord(desk, { kind, fields: sure, today: books.today() });
}

async function addPhoto(
  desk: Desk,
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
  const record = await desk.keepPhoto(
    bytes,
    body,
    `Kept the photo ${name ?? fileName}`.slice(0, 300),
  );
  const [group] = await desk.changes(1);
  return { group, records: [record], repeated: false };
}

function changedText({ group, records }: Changed, given: Given): string {
  if (isJson(given)) return json({ change: group, records });
  const ids = records.length === 1 ? ` (${records[0].id})` : '';
  return `${plain(group.what)}${ids}. Change ${group.seq}; "kneadwell undo" takes it back.\n`;
}

async function turn(verb: 'undo' | 'redo', given: Given, shell: BookShell): Promise<string> {
  const [number, ...more] = given.operands;
  if (more.length > 0 || (number !== undefined && !/^\d{1,15}$/.test(number))) {
    throw unreadableCall('Give the number of one change, or none for the last.', verb);
  }
  const seq = number === undefined ? undefined : Number(number);
  const changed = await shell.books.atDesk(folderOf(given, shell), false, (desk) =>
    desk[verb](seq),
  );
  if (isJson(given)) return json({ change: changed.group, records: changed.records });
  return `${plain(changed.group.what)}\n`;
}

async function stockAt(desk: Desk, given: Given): Promise<string> {
  const stock = await desk.stock();
  if (isJson(given)) return json({ stock });
  const names = new Map<string, string>();
  for (const kind of ['block', 'powder', 'mix'] as const) {
    for (const { id, body } of await allAt(desk, kind)) names.set(id, body.name ?? body.code ?? id);
  }
  return stockText(stock.map((one) => ({ ...one, name: names.get(one.of.id) ?? one.of.id })));
}

/** What a mix is made of in the end. */
async function blocksOf(desk: Desk, { id }: BookRecord) {
  const blocks = await allAt(desk, 'block');
  const mixes = await allAt(desk, 'mix');
  const graph = {
    blocks: new Map(
      blocks.map(({ id: block, body }) => {
        const { densityGPerCm3: value, densitySpread = 0 } = body;
        if (value === undefined) return [block, {}] as const;
        const low = Math.max(value / 2, value - 2 * densitySpread);
        return [block, { density: { value, low, high: value + 2 * densitySpread } }] as const;
      }),
    ),
    mixes: new Map(
      mixes.map(({ id: mix, body }) => [
        mix,
        { basis: body.basis, parts: body.parts.map(({ of, parts }) => ({ parent: of.id, parts })) },
      ]),
    ),
  };
  const found = mixResolver(graph).resolve(id);
  if (found.status !== 'resolved') return { says: found.says };
  const shares = found.blocks.map((block) => ({ id: block.id, share: block.share }));
  return { blocks: shares.toSorted((one, other) => other.share - one.share) };
}

function megabytes(bytes: number): string {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

function noKind(word: string, verb: BookVerb): AppError {
  const [near] = nearestNames(word.toLowerCase(), BOOK_KINDS);
  const meant = near === undefined ? '' : ` Did you mean ${near}?`;
  return unreadableCall(`"${word.slice(0, 40)}" is no kind of record.${meant}`, verb);
}

function outTaken(out: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${out} is there already.`,
    hint: 'Give --out another name.',
  });
}

function notSound(of: string, troubles: readonly string[]): AppError {
  const more = troubles.length === 1 ? '' : ` There are ${troubles.length} such troubles.`;
  return new AppError({
    code: 'not-sound',
    kind: 'unavailable',
    detail: `${of} is not sound: ${troubles[0]}${more}`,
    hint: 'Keep it as it is; "kneadwell restore" puts a backup in its place and keeps it aside.',
    more: { troubles },
  });
}
