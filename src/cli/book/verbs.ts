import type { OptionKind } from '../options.ts';

/** Verbs of the mix book; docs/map.md has a row for each. */
export const BOOK_VERB_NAMES = [
  'serve',
  'book',
  'add',
  'import',
  'export',
  'show',
  'list',
  'undo',
  'redo',
  'backup',
  'restore',
  'verify',
  'doctor',
  'demo',
] as const;
export type BookVerb = (typeof BOOK_VERB_NAMES)[number];

const COMMON = { help: 'switch', json: 'switch', folder: 'value' } as const;

export const BOOK_OPTIONS: Readonly<Record<BookVerb, Readonly<Record<string, OptionKind>>>> = {
  serve: { ...COMMON, port: 'value', open: 'switch' },
  book: COMMON,
  add: { ...COMMON, basis: 'value' },
  import: {
    ...COMMON,
    as: 'value',
    line: 'value',
    basis: 'value',
    check: 'switch',
    replace: 'switch',
  },
  export: { ...COMMON, out: 'value', as: 'value', kind: 'value' },
  show: { ...COMMON, history: 'switch' },
  list: {
    ...COMMON,
    search: 'value',
    tag: 'value',
    status: 'value',
    sort: 'value',
    top: 'value',
    bin: 'switch',
  },
  undo: COMMON,
  redo: COMMON,
  backup: { ...COMMON, to: 'value' },
  restore: COMMON,
  verify: COMMON,
  doctor: COMMON,
  demo: { ...COMMON, gone: 'switch', serve: 'switch', port: 'value', open: 'switch' },
};

export const BOOK_PROGRAM_HELP = `The mix book

  kneadwell serve                                 the book in a browser, on this machine
  kneadwell book                                  what is in it
  kneadwell add "K7 sea moss: 3G 1Y"              a mix, in your own shorthand
  kneadwell add block name=Kelp line=Saltmarsh    a record of any kind
  kneadwell import FILE...                        readings, pages of an old book, an export
  kneadwell export --out FOLDER                   all of it, as JSON or as tables
  kneadwell show K7, kneadwell list mix           records
  kneadwell undo, kneadwell redo                  the last change
  kneadwell backup, restore FILE, verify          kept safe
  kneadwell doctor                                what is wrong here, and how to mend it
  kneadwell demo                                  an invented studio to try it all

  --folder FOLDER     whose book: KNEADWELL_FOLDER, or your own, when nothing is said
  --book              learn, predict, find, inspect, next-tile, try and nearest work on it
`;

const FOLDER = `  --folder FOLDER     the folder of the book: KNEADWELL_FOLDER when nothing is said, else where
                      your system keeps the data of programs ("kneadwell doctor" names it)`;

export const BOOK_HELP: Readonly<Record<BookVerb, string>> = {
  serve: `kneadwell serve: the mix book in a browser, and for other programs

Listens on this machine alone; the home network is let in from the page. A backup is made once a day
while it runs. Ctrl+C ends it.

${FOLDER}
  --port N            where it listens; a free place near 4747 when nothing is said
  --open              opens the browser
  `,
  book: `kneadwell book: what is in the book?

${FOLDER}
  --json              {"folder", "seq", "counts", "changes"}
  `,
  add: `kneadwell add LINE | KIND FIELD=VALUE...: keeps something in the book

  add "K7 sea moss: 3G 1Y ½W #weeds // pale"      a mix, as you would write it on paper
  add sign G of=Foam                              what a sign of yours stands for
  add line name=Saltmarsh bakeLowC=120            a record of any kind; its fields are those of
  add block name=Kelp line=Saltmarsh              docs/book.md, and what one names is found by code
  add tile code=K7 of=K7 thicknessMm=4            or name
  add reading of=K7 lab.values=60,-20,20
  add movement of=Kelp changeG=57 price=...
  add photo tray.jpg name="Tray 2"

${FOLDER}
  --basis BASIS       what parts count where a line does not say: volume (taken when nothing is said)
                      or weight
  --json              {"change", "records"}
  `,
  import: `kneadwell import FILE...: takes files into the book

A file of readings (CSV or CGATS, docs/formats.md), a page of your shorthand or rows pasted from a
spreadsheet (a line a mix), or an export of "kneadwell export": its folder, its JSON or its tables.
What is in the file decides which it is. All of a file is taken or nothing.

${FOLDER}
  --as KIND           readings, shorthand or export, where the file does not show it
  --line NAME         clays that readings name and the book does not know become blocks of this line
  --basis BASIS       what parts count where a row says nothing: volume (taken when nothing is said)
                      or weight
  --check             only say what would be taken
  --replace           an export goes over records of the same id that say something else
  --json              one line a file: {"file", "as", ...}
  `,
  export: `kneadwell export --out PLACE: all of the book, for other programs and other books

Records with their ids and versions, those in the bin too, and photos. Imported into an empty book it is
the same book, but for the history, which only a backup has.

${FOLDER}
  --out PLACE         a folder that is not there yet, or a file ending in .json (records alone)
  --as FORM           json (taken when nothing is said) or csv: a table for each kind
  --kind KIND         records of one kind alone
  --json              {"out", "as", "records", "files", "lacking"}; lacking are files that are missing
  `,
  show: `kneadwell show WHAT: one record, by code, name or id

${FOLDER}
  --history           every change of it, newest first
  --json              {"record", "blocks", "history"}; blocks: shares of a mix, resolved
  `,
  list: `kneadwell list [KIND]: records of the book

KIND is line, block, lot, movement, powder, container, tile, reading, photo, mix, palette, clay-model,
note, figure or label; or changes, or stock.

${FOLDER}
  --search WORDS      only those found by these words: code, name, tags, line, notes, colours
  --tag TAG, --status STATUS
  --sort BY           name (taken when nothing is said), code, changed or created
  --bin               those in the bin
  --top N             how many: 50 when nothing is said
  --json              {"records", "total"}; of changes {"changes"}, of stock {"stock"}
  `,
  undo: `kneadwell undo [NUMBER]: takes back the last change, or the one of that number

"kneadwell list changes" shows the numbers. Nothing is lost: redo does it again.

${FOLDER}
  --json              {"change", "records"}
  `,
  redo: `kneadwell redo [NUMBER]: does again what was undone

${FOLDER}
  --json              {"change", "records"}
  `,
  backup: `kneadwell backup: the whole book in one file, while it is in use

Records, history, photos and a list of checksums. It is read back before it gets its name. A backup on
the same disk does not outlive the disk: now and then give --to another one.

${FOLDER}
  --to FILE           where to; the folder "backups" of the book when nothing is said
  --json              {"path", "bytes", "manifest"}
  `,
  restore: `kneadwell restore FILE: the book of a backup, in place of the one that is there

The backup is read to its end first, and nothing is done where anything in it does not fit. The book
that is there is kept aside. A book that is open is never replaced.

${FOLDER}
  --json              {"folder", "records", "files", "oldBook"}
  `,
  verify: `kneadwell verify [FILE]: is the book sound, or the backup?

Reads everything: the file itself, every record, what each names, the journal, every photo.

${FOLDER}
  --json              {"of", "records", "files", "troubles", "looseFiles"}
  `,
  doctor: `kneadwell doctor: what is wrong with this installation, and how to mend it

${FOLDER}
  --json              {"folder", "findings": [{"sign", "what", "mend"}]}; sign is sound, look or broken
  `,
  demo: `kneadwell demo: an invented studio of tide-pool creatures, to try everything on

A book of its own, in a folder of its own; yours is not touched. It is made at the first call and kept.

${FOLDER}
                      the demo lies in the folder "demo" inside of it
  --gone              takes the demo away again, all of it
  --serve             and shows it in a browser, with --port and --open as for serve
  --json              {"folder", "made", "records"}
  `,
};

/** Verbs that work on a book as well as on files. */
export const ON_BOOK = ['learn', 'predict', 'find', 'inspect', 'next-tile', 'try', 'nearest'];

export const ON_BOOK_HELP = `
  --book              works on the mix book: its newest clay model in place of CLAY, its readings in
                      place of files; learn keeps the model there, find knows the stock
${FOLDER}
`;
