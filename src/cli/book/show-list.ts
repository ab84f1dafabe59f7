import type { DoctorFinding } from '../../book/book-doctor.ts';
import type { BookCounts } from '../../book/book-service.ts';
import { titleOf } from '../../domain/index-fields.ts';
import type { JournalGroup } from '../../domain/records/change.ts';
import { BOOK_KINDS, type BookKind, type BookRecord } from '../../domain/records/record.ts';
import { columns, counted, fixed, plain } from '../terminal-output.ts';
import { changeLine } from './show-record.ts';

/** Kinds in words, one and many. */
const KIND_NAMES: Readonly<Record<BookKind, readonly [string, string]>> = {
  line: ['line', 'lines'],
  block: ['block', 'blocks'],
  purchase: ['purchase', 'purchases'],
  'stock-entry': ['stock entry', 'stock entries'],
  powder: ['powder', 'powders'],
  wish: ['wish', 'wishes'],
  box: ['box', 'boxes'],
  tile: ['tile', 'tiles'],
  reading: ['reading', 'readings'],
  photo: ['photo', 'photos'],
  mix: ['mix', 'mixes'],
  palette: ['palette', 'palettes'],
  'clay-model': ['clay model', 'clay models'],
  note: ['note', 'notes'],
  figure: ['figure', 'figures'],
  'bend-test': ['bend test', 'bend tests'],
  'oven-check': ['oven check', 'oven checks'],
  collection: ['collection', 'collections'],
  settings: ['record of settings', 'records of settings'],
};

/** The kind for a word the user typed: mix, mixes, clay model. */
export function bookKindFrom(word: string): BookKind | undefined {
  const said = word.trim().toLowerCase();
  return BOOK_KINDS.find((kind) => kind === said || KIND_NAMES[kind].includes(said));
}

export function bookText(
  folder: string,
  { counts }: BookCounts,
  changes: readonly JournalGroup[],
): string {
  const live = new Map(counts.map((count) => [count.kind, count]));
  const rows = BOOK_KINDS.flatMap((kind) => {
    const count = live.get(kind);
    if (kind === 'settings' || count === undefined || count.live + count.deleted === 0) return [];
    const [one, many] = KIND_NAMES[kind];
    const deleted = count.deleted === 0 ? '' : `${count.deleted} deleted`;
    return [[`  ${count.live}`, count.live === 1 ? one : many, deleted]];
  });
  return `${[
    `The mix book in ${plain(folder)}`,
    '',
    ...(rows.length === 0 ? ['  Nothing is in it yet.'] : columns(rows, 'rll')),
    ...(changes.length === 0
      ? []
      : ['', 'Changed last:', '', ...changes.map((c) => `  ${changeLine(c)}`)]),
  ].join('\n')}\n`;
}

export function listText(
  records: readonly BookRecord[],
  total: number,
  /** Of what records are of, by id. */
  names: ReadonlyMap<string, string>,
): string {
  if (records.length === 0) return 'There are none.\n';
  const rows = records.map((record) => {
    const { body } = record;
    const code = 'code' in body ? (body.code ?? '') : '';
    const name = 'name' in body ? body.name : 'lid' in body ? body.lid : undefined;
    const of = 'of' in body && 'id' in body.of ? names.get(body.of.id) : undefined;
    const title = of === undefined ? titleOf(record) : `${titleOf(record)} of ${of}`;
    const status = 'status' in body ? String(body.status) : 'state' in body ? body.state : '';
    return [
      `  ${plain(code)}`,
      plain(name ?? (code === '' ? title : '')),
      status,
      'tags' in body ? plain((body.tags ?? []).map((tag) => `#${tag}`).join(' ')) : '',
      record.id,
    ];
  });
  const more =
    total > records.length ? `${records.length} of ${total} shown.` : counted(total, 'record');
  return `${[...columns(rows, 'lllll'), '', more].join('\n')}\n`;
}

export function stockText(
  rows: readonly {
    readonly name: string;
    readonly grams?: number;
    readonly millilitres?: number;
    readonly asOf: string;
  }[],
): string {
  if (rows.length === 0) return 'Nothing was ever weighed in.\n';
  const cells = rows.map(({ name, grams, millilitres, asOf }) => [
    `  ${plain(name)}`,
    grams === undefined ? '' : `${fixed(grams, 1)} g`,
    millilitres === undefined ? '' : `${fixed(millilitres, 1)} ml`,
    asOf,
  ]);
  return `${columns(cells, 'lrrl').join('\n')}\n`;
}

const MARKS = { sound: 'ok  ', look: 'look', broken: 'mend' } as const;

export function doctorText(folder: string, findings: readonly DoctorFinding[]): string {
  const lines = findings.flatMap(({ status, what, mend }) => [
    `  ${MARKS[status]}  ${plain(what)}`,
    ...(mend === undefined ? [] : [`        ${plain(mend)}`]),
  ]);
  const broken = findings.filter(({ status }) => status === 'broken').length;
  const end =
    broken === 0 ? 'Nothing needs mending.' : `${counted(broken, 'thing')} to mend, listed first.`;
  return `The installation, with its book in ${plain(folder)}\n\n${lines.join('\n')}\n\n${end}\n`;
}
