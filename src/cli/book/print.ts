import { z } from 'zod';
import type { Book } from '../../book/book.ts';
import { liveOf } from '../../book/share/chosen-mixes.ts';
import { printSheets } from '../../book/share/print-sheets.ts';
import { clayKey, formatRecipe } from '../../core/notation/notation.ts';
import { labelSheet } from '../../domain/drawing/label-sheets.ts';
import { paper, printCall } from '../../domain/share/print-call.ts';
import { ladder, ladderQuestion } from '../../verbs/ladder.ts';
import { words } from '../../verbs/verb.ts';
import { askClay } from '../ask-clay.ts';
import type { BookShell } from '../book-shell.ts';
import { unreadableCall } from '../options.ts';
import { piecesText } from '../show-ladder.ts';
import { plain } from '../terminal-output.ts';
import { type BookCall, folderOf, json } from './call.ts';
import { mixesOf, sharerOf, sharingOptions } from './share.ts';

const { shape: sheet } = labelSheet.unwrap();
const size = <T extends z.ZodType>(schema: T, option: string, help: string) =>
  schema.meta(words({ option, value: 'MM', help }));
const count = <T extends z.ZodType>(schema: T, option: string, help: string) =>
  schema.meta(words({ option, value: 'N', help }));

export const printOptions = z.strictObject({
  ...sharingOptions,
  out: z
    .string()
    .min(1)
    .meta(words({ option: 'out', value: 'FILE', example: 'labels.pdf', help: 'the PDF' })),
  paper: paper.meta(words({ option: 'paper', value: 'NAME', help: 'size of the paper' })),
  title: z
    .string()
    .min(1)
    .exactOptional()
    .meta(words({ option: 'title', value: 'TEXT', help: 'heading of a chart' })),
  line: z
    .string()
    .min(1)
    .exactOptional()
    .meta(words({ option: 'line', value: 'NAME', help: 'a chart of this clay line alone' })),
  from: ladderQuestion.shape.from.exactOptional(),
  to: ladderQuestion.shape.to.exactOptional(),
  steps: ladderQuestion.shape.steps,
  parts: ladderQuestion.shape.parts,
  preMix: ladderQuestion.shape.preMix,
  columns: count(sheet.columns, 'columns', 'labels side by side'),
  rows: count(sheet.rows, 'rows', 'labels one below the other'),
  widthMm: size(sheet.widthMm, 'width', 'width of a label, to 0.1 mm'),
  heightMm: size(sheet.heightMm, 'height', 'height of a label'),
  leftMm: size(sheet.leftMm, 'left', 'from the left edge of the paper to the first label'),
  topMm: size(sheet.topMm, 'top', 'from the top of the paper to the first label'),
  gapAcrossMm: size(sheet.gapAcrossMm, 'gap-across', 'between labels side by side'),
  gapDownMm: size(sheet.gapDownMm, 'gap-down', 'between labels one below the other'),
  skip: count(sheet.skip, 'skip', 'labels that are gone from the first sheet'),
  qr: z
    .boolean()
    .default(false)
    .meta(words({ option: 'qr', help: 'with the recipe as a QR code on each label' })),
  noTest: z
    .boolean()
    .default(false)
    .meta(words({ option: 'no-test', help: 'without the test page before the labels' })),
  pupils: count(z.int().min(1).max(200).default(10), 'pupils', 'pupils of a class'),
  batches: count(z.int().min(1).max(50).default(1), 'batches', 'times each mixes each recipe'),
});

const WHAT = ['labels', 'chart', 'ladder', 'short-names', 'wishes', 'class-kit'];

export async function printAnswer(
  call: BookCall<z.output<typeof printOptions>>,
  shell: BookShell,
): Promise<string> {
  const [what = ''] = call.operands;
  if (!WHAT.includes(what)) {
    throw unreadableCall(`What to print is one of ${WHAT.join(', ')}.`, 'print');
  }
  const { options } = call;
  const { out, paper, title, qr, noTest, pupils, batches } = options;
  const { columns, rows, widthMm, heightMm, leftMm, topMm, gapAcrossMm, gapDownMm, skip } = options;
  const drawer = await shell.drawer();
  const rungs = what === 'ladder' ? await ladderOf(call, shell) : undefined;
  const bytes = await shell.books.lookAt(folderOf(call, shell), async (book) => {
    const own =
      what === 'short-names' || what === 'wishes' || what === 'ladder'
        ? {}
        : { ...(await sharerOf(book, options)), mixes: await mixesOf(book, options) };
    const more = {
      labels: {
        qr,
        testPage: !noTest,
        sheet: {
          paper,
          columns,
          rows,
          widthMm,
          heightMm,
          leftMm,
          topMm,
          gapAcrossMm,
          gapDownMm,
          skip,
        },
      },
      chart: {
        paper,
        ...(title === undefined ? {} : { title }),
        ...(options.line === undefined ? {} : { lineId: await lineCalled(book, options.line) }),
      },
      ladder: { paper, title: title ?? 'Even steps', steps: rungs },
      'short-names': { paper },
      wishes: { paper },
      'class-kit': { paper, pupils, batches },
    }[what];
    const asked = printCall.parse({ what, ...own, ...more });
    return printSheets(book, asked, shell.ports.madeWith, drawer);
  });
  await shell.ports.files.write(out, bytes);
  if (call.json) return json({ out, bytes: bytes.length });
  return `${plain(out)}, ${bytes.length} bytes. Print at 100 %, without fitting to the page.\n`;
}

/** The steps between two mixes or clays of the book, as they are drawn. */
async function ladderOf(
  { options }: BookCall<z.output<typeof printOptions>>,
  shell: BookShell,
): Promise<readonly object[]> {
  const { from, to, steps, parts, preMix = false, folder } = options;
  if (from === undefined || to === undefined) {
    throw unreadableCall('A ladder goes from one mix to another: say --from and --to.', 'print');
  }
  const question = ladderQuestion.parse({ from, to, steps, parts, preMix });
  const onBook = { question, book: true as const, ...(folder === undefined ? {} : { folder }) };
  const { answer } = await askClay(
    ladder,
    { options: onBook, operands: [], json: false, files: new Map() },
    { ports: shell.ports, book: async () => shell },
  );
  return answer.steps.map((step) => ({
    title: piecesText(step),
    recipe: formatRecipe(step.parts),
    lab: step.shown,
  }));
}

async function lineCalled(book: Book, name: string): Promise<string> {
  const lines = await liveOf(book, 'line');
  const found = lines.find(({ body }) => clayKey(body.name) === clayKey(name));
  if (found !== undefined) return found.id;
  throw unreadableCall(
    `The book has no line ${name}. It has ${lines.map(({ body }) => body.name).join(', ')}.`,
    'print',
  );
}

/** One word, what to print. */
export function onePrint(given: readonly string[]): string | undefined {
  return given.length === 1 ? undefined : `What to print is one of ${WHAT.join(', ')}.`;
}
