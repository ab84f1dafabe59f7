import { z } from 'zod';
import { SORTS } from '../../book/ports.ts';
import { BASES } from '../../core/mixes/mix-graph.ts';
import { IMPORT_KINDS } from '../../domain/import-kinds.ts';
import { BOOK_KINDS } from '../../domain/records/record.ts';
import { gloss } from '../../verbs/learn.ts';
import { words } from '../../verbs/verb.ts';
import type { BookShell } from '../book-shell.ts';
import { command, noOperands } from '../command.ts';
import type { Call, Command, CommandAnswer, CommandParts } from '../command-parts.ts';
import { folder } from '../shared-options.ts';
import { addAnswer, changeAnswer } from './add.ts';
import { backupAnswer, doctorAnswer, restoreAnswer, verifyAnswer } from './backups.ts';
import { cardAnswer, cardOptions } from './card.ts';
import { exportAnswer, importAnswer } from './import-export.ts';
import { matchAnswer, oneOrTwo } from './match.ts';
import { onePrint, printAnswer, printOptions } from './print.ts';
import { publishAnswer, publishOptions } from './publish.ts';
import { demoAnswer, serveAnswer } from './serve.ts';
import { shareAnswer, shareOptions } from './share.ts';
import { countsAnswer, listAnswer, showAnswer } from './show-records.ts';
import { turnAnswer } from './undo-redo.ts';

/** A command of the mix book; the book's engine is loaded when it runs. */
function bookCommand<Options extends z.ZodObject>(
  parts: Omit<CommandParts<Options>, 'answer'> & {
    answer(call: Call<z.output<Options>>, shell: BookShell): Promise<CommandAnswer>;
  },
): Command {
  const { answer, ...rest } = parts;
  return command({ ...rest, answer: async (call, shell) => answer(call, await shell.book()) });
}

const flag = (option: string, help: string) =>
  z.boolean().default(false).meta(words({ option, help }));
const text = (option: string, value: string, help: string) =>
  z.string().meta(words({ option, value, help }));
const basis = z
  .enum(BASES)
  .exactOptional()
  .meta(
    words({
      option: 'basis',
      value: 'BASIS',
      help: 'what parts count where a line does not say; volume when left out',
    }),
  );
const listening = {
  port: z
    .int()
    .min(0)
    .max(65_535)
    .exactOptional()
    .meta(
      words({
        option: 'port',
        value: 'N',
        help: 'where it listens; a free place near 4747 when left out',
      }),
    ),
  open: flag('open', 'opens the browser'),
};
const justFolder = z.strictObject({ folder });
const CHANGED = '{"change", "records"}';

/** Commands of the mix book; docs/map.md has a row for each. */
export const BOOK_COMMANDS: readonly Command[] = [
  bookCommand({
    name: 'serve',
    usage: 'serve',
    asks: 'The mix book in a browser, and for other programs',
    about:
      'Listens on this machine alone; the home network is let in from the page. A backup is made once a day while it runs. Ctrl+C ends it.',
    options: z.strictObject({ folder, ...listening }),
    refuses: noOperands,
    answer: serveAnswer,
  }),
  bookCommand({
    name: 'book',
    usage: 'book',
    asks: 'What is in the book?',
    options: justFolder,
    json: '{"folder", "seq", "counts", "changes"}',
    refuses: noOperands,
    answer: countsAnswer,
  }),
  bookCommand({
    name: 'add',
    usage: 'add LINE | KIND FIELD=VALUE...',
    asks: 'Saves something in the book',
    about: `  add "K7 sea moss: 3G 1Y ½W #weeds // pale"      a mix, as you would write it on paper
  add short-name G of=Foam                        what a short name of yours stands for
  add line name=Saltmarsh bakeLowC=120            a record of any kind; its fields are those of
  add block name=Kelp line=Saltmarsh              docs/book.md, and what one names is found by code
  add tile code=K7 of=K7 thicknessMm=4            or name
  add reading of=K7 lab.values=60,-20,20
  add purchase of=Kelp grams=57 price=...
  add wish lab=#1f8a5c why="for fronds"           a colour for the wish list
  add photo tray.jpg name="Tray 2"`,
    options: z.strictObject({ folder, basis }),
    json: CHANGED,
    answer: addAnswer,
  }),
  bookCommand({
    name: 'change',
    usage: 'change WHAT FIELD=VALUE...',
    asks: 'Corrects something in the book',
    about: `  change K7 thicknessMm=4                         found by code, name or id
  change "tile K7" of="3 Kelp + 1 Foam"           the tile, where a mix has the same code
  change "tile K7" state=raw thicknessMm=         an empty value removes the field`,
    options: justFolder,
    json: CHANGED,
    answer: changeAnswer,
  }),
  bookCommand({
    name: 'import',
    usage: 'import FILE...',
    asks: 'Takes files into the book',
    about:
      'A file of readings (CSV or CGATS, docs/formats.md), notes in your own shorthand or rows pasted from a spreadsheet (a line a mix), recipes that somebody shared (docs/share-file.md), with --as published recipes in plain words ("Moss: 2 parts of a warm yellow, 1 part white"), or an export of "kneadwell export": its folder, its JSON or its tables. What is in the file decides which it is. All of a file is taken or nothing.',
    options: z.strictObject({
      folder,
      as: z
        .enum(IMPORT_KINDS)
        .exactOptional()
        .meta(
          words({ option: 'as', value: 'KIND', help: 'where the file does not show what it is' }),
        ),
      line: text(
        'line',
        'NAME',
        'clays that readings name and the book does not know become blocks of this line',
      ).exactOptional(),
      basis,
      gloss,
      check: flag('check', 'only say what would be taken'),
      replace: flag(
        'replace',
        'an export goes over records of the same id that say something else',
      ),
    }),
    json: 'one line a file: {"file", "as", ...}',
    answer: importAnswer,
  }),
  bookCommand({
    name: 'export',
    usage: 'export --out PLACE',
    asks: 'All of the book, for other programs and other books',
    about:
      'Records with their ids and versions, deleted ones too, and photos. Imported into an empty book it is the same book, but for the history, which only a backup has.',
    options: z.strictObject({
      folder,
      out: z
        .string()
        .min(1)
        .meta(
          words({
            option: 'out',
            value: 'PLACE',
            example: 'book-export',
            help: 'a folder that is not there yet, or a file ending in .json (records alone)',
          }),
        ),
      as: z
        .enum(['json', 'csv'])
        .default('json')
        .meta(words({ option: 'as', value: 'FORM', help: 'csv is a table for each kind' })),
      kind: text('kind', 'KIND', 'records of one kind alone').exactOptional(),
    }),
    json: '{"out", "as", "records", "files", "lacking"}; lacking are files that are missing',
    refuses: noOperands,
    answer: exportAnswer,
  }),
  bookCommand({
    name: 'match',
    usage: 'match UNKNOWN [BLOCK]',
    asks: 'Which block of mine is this unknown clay?',
    about:
      'An unknown clay came with a recipe of somebody else. Alone, its closest blocks of yours are named; with a block, that block takes its place in every mix.',
    options: justFolder,
    json: '{"of", "closest": [{"id", "name", "dE00"}]}; with a block {"mixes", "seq"}',
    refuses: oneOrTwo,
    answer: matchAnswer,
  }),
  bookCommand({
    name: 'share',
    usage: 'share [--out FILE]',
    asks: 'Recipes of yours, for somebody else',
    about:
      'Writes a share file: recipes with their colours, and how the clays mix. What leaves is listed in words. Notes, tags, prices and readings stay unless you ask for them; photos, places and stock always stay. Another Kneadwell takes the file in with "kneadwell import".',
    options: shareOptions,
    json: '{"out", "bytes", "leaves", "stays"}',
    refuses: noOperands,
    answer: shareAnswer,
  }),
  bookCommand({
    name: 'card',
    usage: 'card --out PLACE',
    asks: 'Recipe cards to show and to print',
    about:
      'A picture of one mix (.png, .svg), all as pages (.pdf), or a folder of pictures. The QR code holds the recipe: another Kneadwell takes a photo of it in with "kneadwell import". A card says no more than a share file.',
    options: cardOptions,
    json: '{"cards": [{"title", "out", "bytes"}]}',
    refuses: noOperands,
    answer: cardAnswer,
  }),
  bookCommand({
    name: 'print',
    usage: 'print WHAT --out FILE',
    asks: 'Labels, charts and lists on paper',
    about: `  print labels      labels for tiles and boxes on any label sheet, the code large; a test page first
  print chart       mixes as a sheet of colours, ordered so that neighbours look alike; with --line
                    the clays of one line
  print ladder      the even steps between two mixes or clays, --from and --to
  print short-names the short names of your clays
  print wishes      the wish list
  print class-kit   what each pupil gets, and the pieces to cut`,
    options: printOptions,
    json: '{"out", "bytes"}',
    refuses: onePrint,
    answer: printAnswer,
  }),
  bookCommand({
    name: 'publish',
    usage: 'publish --out FOLDER',
    asks: 'A page of your own with your recipes',
    about:
      'Writes a folder of plain files that opens from a disk and from any web host, without a server and without a request to anywhere. Readers search by word and colour, tick the clays they own, and see every recipe for those. Called again, only what changed is written.',
    options: publishOptions,
    json: '{"out", "files", "written", "removed", "leaves"}',
    refuses: noOperands,
    answer: publishAnswer,
  }),
  bookCommand({
    name: 'show',
    usage: 'show WHAT',
    asks: 'One record, by code, name or id',
    options: z.strictObject({
      folder,
      history: flag('history', 'every change of it, newest first'),
    }),
    json: '{"record", "blocks", "says", "history"}; blocks: shares of a mix, resolved, or says why it cannot be resolved',
    answer: showAnswer,
  }),
  bookCommand({
    name: 'list',
    usage: 'list [KIND]',
    asks: 'Records of the book',
    about: `KIND is ${BOOK_KINDS.join(', ')}; or changes, or stock.`,
    options: z.strictObject({
      folder,
      search: text(
        'search',
        'WORDS',
        'only those found by these words: code, name, tags, line, notes, colours',
      ).exactOptional(),
      tag: text('tag', 'TAG', 'only those with this tag').exactOptional(),
      status: text('status', 'STATUS', 'only those of this status').exactOptional(),
      sort: z
        .enum(SORTS)
        .default('name')
        .meta(words({ option: 'sort', value: 'BY', help: 'their order' })),
      deleted: flag('deleted', 'those that were deleted'),
      top: z
        .int()
        .min(1)
        .max(500)
        .default(50)
        .meta(words({ option: 'top', value: 'N', help: 'how many' })),
    }),
    json: '{"records", "total"}; of changes {"changes"}, of stock {"stock"}',
    refuses: (given) => (given.length > 1 ? 'One kind at a time.' : undefined),
    answer: listAnswer,
  }),
  ...(['undo', 'redo'] as const).map((name) =>
    bookCommand({
      name,
      usage: `${name} [NUMBER]`,
      asks:
        name === 'undo'
          ? 'Undoes the last change, or the one of that number'
          : 'Does again what was undone',
      about: '"kneadwell list changes" shows the numbers. Nothing is lost: each undoes the other.',
      options: justFolder,
      json: CHANGED,
      answer: (call, shell) => turnAnswer(name, call, shell),
    }),
  ),
  bookCommand({
    name: 'backup',
    usage: 'backup',
    asks: 'The whole book in one file, while it is in use',
    about:
      'Records, history, photos and a list of checksums. The backup is read back before it gets its name. A backup on the same disk does not outlive the disk: now and then give --to another one.',
    options: z.strictObject({
      folder,
      to: text(
        'to',
        'FILE',
        'where to; the folder "backups" of the book when left out',
      ).exactOptional(),
    }),
    json: '{"path", "bytes", "manifest"}',
    refuses: noOperands,
    answer: backupAnswer,
  }),
  bookCommand({
    name: 'restore',
    usage: 'restore FILE',
    asks: 'The book of a backup, in place of the one that is there',
    about:
      'The backup is read to its end first, and nothing is done where anything in it does not fit. The book that is there is put aside. A book that is open is never replaced.',
    options: justFolder,
    json: '{"folder", "records", "files", "oldBook"}',
    answer: restoreAnswer,
  }),
  bookCommand({
    name: 'verify',
    usage: 'verify [FILE]',
    asks: 'Is the book sound, or the backup?',
    about:
      'Reads everything: the file itself, every record, what each names, the journal, every photo.',
    options: justFolder,
    json: '{"of", "records", "files", "troubles", "looseFiles"}',
    answer: verifyAnswer,
  }),
  bookCommand({
    name: 'doctor',
    usage: 'doctor',
    asks: 'What is wrong with this installation, and how to mend it',
    options: justFolder,
    after: 'It ends with 0, or with 5 where something does not work.',
    json: '{"folder", "findings": [{"status", "what", "mend"}]}; status is sound, look or broken',
    refuses: noOperands,
    answer: doctorAnswer,
  }),
  bookCommand({
    name: 'demo',
    usage: 'demo',
    asks: 'A demo studio of tide-pool creatures, to try everything on',
    about:
      'A book of its own, in the folder "demo" inside of --folder; yours is not touched. The demo is made at the first call and stays.',
    options: z.strictObject({
      folder,
      gone: flag('gone', 'takes the demo away again, all of it'),
      serve: flag('serve', 'and shows it in a browser, with --port and --open as for serve'),
      ...listening,
    }),
    json: '{"folder", "made", "records"}; with --gone {"folder", "gone"}',
    refuses: noOperands,
    answer: demoAnswer,
  }),
];
