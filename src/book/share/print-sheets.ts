import { AppError } from '../../core/errors.ts';
import { formatRecipe } from '../../core/notation/notation.ts';
import { type ChartEntry, colourChart, ladderSheets } from '../../domain/drawing/colour-chart.ts';
import type { Drawing } from '../../domain/drawing/drawing.ts';
import { labelSheets, sheetFault } from '../../domain/drawing/label-sheets.ts';
import { type ListRow, printedList } from '../../domain/drawing/printed-lists.ts';
import { titleOf } from '../../domain/index-fields.ts';
import { SETTINGS_ID } from '../../domain/records/settings-id.ts';
import { partsInWords } from '../../domain/share/card-content.ts';
import type { PrintCall } from '../../domain/share/print-call.ts';
import { payloadOfMix } from '../../domain/share/recipe-payload.ts';
import { shareChoice } from '../../domain/share/share-choice.ts';
import type { ShareFile } from '../../domain/share/share-file.ts';
import { titleOfShared } from '../../domain/share/what-leaves.ts';
import { wishesInWords } from '../../domain/wish-list.ts';
import type { Book } from '../book.ts';
import { notInBook } from '../errors.ts';
import { liveOf } from './chosen-mixes.ts';
import type { Drawer } from './drawer.ts';
import { gatherShare } from './gather-share.ts';

/**
 * Sheets of a book as a PDF in true size.
 * Refuses: labels that do not fit their paper -> labels-unfit (bad-input); no short names ->
 *          nothing-to-share; as `gatherShare` does
 */
export async function printSheets(
  book: Book,
  call: PrintCall,
  madeWith: string,
  drawer: Drawer,
): Promise<Uint8Array> {
  if (call.what === 'short-names') {
    return drawer.pdf(await shortNames(book, call, drawer), 'Short names');
  }
  if (call.what === 'wishes') {
    return drawer.pdf(await wishSheets(book, call, drawer), 'Wish list');
  }
  if (call.what === 'ladder') {
    return drawer.pdf(ladderSheets(call.steps, call.title, call.paper, drawer), call.title);
  }
  const { author, link, words, licence, mixes } = call;
  const lineId = call.what === 'chart' ? call.lineId : undefined;
  const own = {
    author,
    licence,
    mixes,
    clays: lineId === undefined ? 'none' : 'learned',
    ...(link === undefined ? {} : { link }),
    ...(words === undefined ? {} : { words }),
  };
  const file = await gatherShare(book, shareChoice.parse(own), madeWith);
  if (call.what === 'chart') {
    const of = lineId === undefined ? undefined : await lineNamed(book, lineId);
    const title = call.title ?? of ?? 'Colours';
    const entries = chartEntries(file, of);
    return drawer.pdf(colourChart(entries, title, call.paper, drawer), title);
  }
  if (call.what === 'class-kit') return drawer.pdf(classKit(file, call, drawer), 'Class kit');
  const fault = sheetFault(call.sheet);
  if (fault !== undefined) throw unfit(fault);
  const labels = file.mixes.map((mix, i) => ({
    code: mix.code ?? mix.name ?? '',
    lines: [mix.code === undefined ? '' : (mix.name ?? ''), recipeOf(file, mix), file.author],
    ...(mix.colour === undefined ? {} : { lab: mix.colour.lab }),
    ...(call.qr ? { payload: payloadOfMix(file, i) } : {}),
  }));
  const pages = labelSheets(labels, call.sheet, drawer, drawer.qr, call.testPage);
  return drawer.pdf(pages, 'Labels');
}

/** All mixes of a file; of one line its clays, and the mixes of nothing else. */
function chartEntries(file: ShareFile, line: string | undefined): readonly ChartEntry[] {
  const { clays, lines, mixes } = file;
  const isOf = ({ line: place }: ShareFile['clays'][number]) =>
    line === undefined || (place !== undefined && lines[place].name === line);
  const chosen = mixes.filter(({ parts }) => parts.every(({ clay }) => isOf(clays[clay])));
  return [
    ...(line === undefined
      ? []
      : clays.filter(isOf).map(({ name, lab }) => ({
          title: name,
          recipe: '',
          ...(lab === undefined ? {} : { lab }),
        }))),
    ...chosen.map((mix) => ({
      title: titleOfShared(mix),
      recipe: recipeOf(file, mix),
      ...(mix.colour === undefined ? {} : { lab: mix.colour.lab }),
    })),
  ];
}

async function lineNamed(book: Book, id: string): Promise<string> {
  const record = await book.ports.store.get(id);
  if (record?.kind !== 'line' || record.deletedAt !== undefined) throw notInBook(id);
  return record.body.name;
}

function recipeOf({ clays }: ShareFile, mix: ShareFile['mixes'][number]): string {
  return formatRecipe(mix.parts.map(({ clay, parts }) => ({ clay: clays[clay].name, parts })));
}

/** What each pupil gets, and the pieces to cut for all, by clay. */
function classKit(
  file: ShareFile,
  { pupils, batches, paper }: Extract<PrintCall, { what: 'class-kit' }>,
  drawer: Drawer,
): readonly Drawing[] {
  const each = new Map<number, number>();
  for (const { parts } of file.mixes) {
    for (const { clay, parts: n } of parts) each.set(clay, (each.get(clay) ?? 0) + n * batches);
  }
  const rows = [...each].map(([clay, n]): ListRow => {
    const { name, line, lab } = file.clays[clay];
    const of = line === undefined ? '' : `, ${file.lines[line].name}`;
    return {
      large: `${partsInWords(n * pupils)} pieces`,
      words: `${name}${of}: ${partsInWords(n)} for each pupil`,
      ...(lab === undefined ? {} : { lab }),
    };
  });
  const recipes = file.mixes.map(
    (mix): ListRow => ({
      // A code fits into its column; a name may not, and then stands whole before the recipe.
      large: mix.code ?? titleOfShared(mix),
      words: `${mix.name === undefined ? '' : `${mix.name}: `}${recipeOf(file, mix)}`,
      ...(mix.colour === undefined ? {} : { lab: mix.colour.lab }),
    }),
  );
  const times = batches === 1 ? '' : `, each ${batches} times`;
  return [
    ...printedList(
      rows,
      {
        title: 'Pieces to cut',
        says: [
          `For ${pupils} pupils who mix ${file.mixes.length === 1 ? 'this recipe' : `${file.mixes.length} recipes`}${times}. Cut all pieces with one cutter out of sheets of one thickness, and a few more than you need.`,
          'An adult runs the oven. Blades stay with the teacher.',
        ],
      },
      paper,
      drawer,
    ),
    ...printedList(
      recipes,
      {
        title: 'For each pupil',
        says: ['Knead each mix until no streak is left, the lightest clay first.'],
      },
      paper,
      drawer,
    ),
  ];
}

async function shortNames(
  book: Book,
  { paper }: Extract<PrintCall, { what: 'short-names' }>,
  drawer: Drawer,
): Promise<readonly Drawing[]> {
  const { store } = book.ports;
  const settings = await store.get(SETTINGS_ID);
  const names = settings?.kind === 'settings' ? (settings.body.shortNames ?? []) : [];
  if (names.length === 0) throw noShortNames();
  await book.index.current();
  const records = await store.getMany(names.map(({ of }) => of.id));
  const rows = names
    .toSorted((one, other) => one.shortName.localeCompare(other.shortName, 'en'))
    .flatMap(({ shortName, of }): ListRow[] => {
      const record = records.get(of.id);
      if (record === undefined || record.deletedAt !== undefined) return [];
      const number = book.index.table.numberOf(of.id);
      const lab = number === undefined ? undefined : book.index.shown.of(number)?.lab;
      return [
        {
          large: shortName,
          words: titleOf(record).replace(/^the /, ''),
          ...(lab === undefined ? {} : { lab }),
        },
      ];
    });
  const says = ['Write a recipe as 3G 1Y: the number of parts and the short name.'];
  return printedList(rows, { title: 'Short names', says }, paper, drawer);
}

async function wishSheets(
  book: Book,
  { paper }: Extract<PrintCall, { what: 'wishes' }>,
  drawer: Drawer,
): Promise<readonly Drawing[]> {
  const wishes = await liveOf(book, 'wish');
  if (wishes.length === 0) throw noWishes();
  const named = wishesInWords(wishes, await liveOf(book, 'line'), await liveOf(book, 'block'));
  const rows = named.map(
    ({ name, lab, where, why }): ListRow => ({
      lab,
      large: name,
      words: [where, why].filter((text) => text !== '').join('; '),
    }),
  );
  const says = ['Colours on paper are close at best; the block itself decides.'];
  return printedList(rows, { title: 'Wish list', says }, paper, drawer);
}

function noWishes(): AppError {
  return new AppError({
    code: 'nothing-to-share',
    kind: 'bad-input',
    detail: 'The wish list is empty.',
    hint: 'Add a colour first, on the screen Wish list or with "kneadwell add wish".',
  });
}

function noShortNames(): AppError {
  return new AppError({
    code: 'nothing-to-share',
    kind: 'bad-input',
    detail: 'The book has no short names.',
    hint: 'Give your clays short names first, in Stock or with "kneadwell add short-name".',
  });
}

function unfit(detail: string): AppError {
  return new AppError({
    code: 'labels-unfit',
    kind: 'bad-input',
    detail,
    hint: 'Measure the sheet again: columns, rows, size of a label, and the gaps between.',
  });
}
