import type { HistoryStep } from '../../book/book-history.ts';
import type { BookService } from '../../book/book-service.ts';
import { sentenceStart } from '../../core/sentence-start.ts';
import { titleOf } from '../../domain/index-fields.ts';
import type { JournalGroup } from '../../domain/records/change.ts';
import { fieldsOf, valueAt } from '../../domain/records/fields.ts';
import type { BookRecord } from '../../domain/records/record.ts';
import { fixed, plain } from '../terminal-output.ts';

/** What stands beside a record: names of what it names, and what it resolves to. */
export interface RecordShown {
  readonly record: BookRecord;
  readonly names: ReadonlyMap<string, string>;
  /** Shares of blocks, largest first; of mixes that resolve. */
  readonly blocks?: readonly { readonly id: string; readonly share: number }[];
  /** Why a mix does not resolve. */
  readonly says?: string;
  readonly history?: readonly HistoryStep[];
}

/** Names of everything a record names, for people. */
export async function namesFor(
  service: Pick<BookService, 'get'>,
  record: BookRecord,
  more: readonly string[] = [],
): Promise<ReadonlyMap<string, string>> {
  const ids = new Set(more);
  const walk = (value: unknown, key: string): void => {
    if (typeof value === 'string' && /(?:^id|Ids?)$/.test(key)) ids.add(value);
    else if (Array.isArray(value)) for (const inner of value) walk(inner, key);
    else if (typeof value === 'object' && value !== null) {
      for (const [name, inner] of Object.entries(value)) walk(inner, name);
    }
  };
  walk(record.body, '');
  const names = new Map<string, string>();
  for (const id of ids) {
    const found = await service.get(id);
    if (found !== undefined) names.set(id, shortName(found));
  }
  return names;
}

/** What each record is of, by its id: readings, lots and notes have no names of their own. */
export async function namesOfTheirs(
  service: Pick<BookService, 'get'>,
  records: readonly BookRecord[],
): Promise<ReadonlyMap<string, string>> {
  const names = new Map<string, string>();
  for (const { body } of records) {
    const id = 'of' in body && 'id' in body.of ? body.of.id : undefined;
    if (id === undefined || names.has(id)) continue;
    const found = await service.get(id);
    if (found !== undefined) names.set(id, shortName(found));
  }
  return names;
}

function shortName(record: BookRecord): string {
  const { body } = record;
  const name = 'name' in body ? body.name : 'lid' in body ? body.lid : undefined;
  const code = 'code' in body ? body.code : undefined;
  return name ?? code ?? titleOf(record);
}

export function recordText(shown: RecordShown): string {
  const { record, names, blocks, says, history } = shown;
  const title = titleOf(record);
  const lines = [
    plain(sentenceStart(title)),
    '',
    `  ${record.id}, version ${record.version}, changed ${record.changedAt.slice(0, 10)}${record.deletedAt === undefined ? '' : ', deleted'}`,
    '',
  ];
  const rows = fieldsOf(record.kind).flatMap(({ path }) => {
    const value = valueAt(record.body, path);
    if (value === undefined || path.endsWith('.kind')) return [];
    return [[path.replace(/\.id$/, ''), plain(said(value, names))] as const];
  });
  const wide = Math.max(18, ...rows.map(([field]) => field.length));
  lines.push(...rows.map(([field, words]) => `  ${field.padEnd(wide)} ${words}`));
  if (blocks !== undefined) {
    lines.push('', '  Of blocks:');
    for (const { id, share } of blocks) {
      lines.push(`  ${fixed(100 * share, 1).padStart(7)} %  ${plain(names.get(id) ?? id)}`);
    }
  }
  if (says !== undefined) lines.push('', `  ${plain(says)}`);
  if (history !== undefined) {
    lines.push('', '  Its history, newest first:');
    lines.push(...history.map(({ group }) => `  ${changeLine(group)}`));
  }
  return `${lines.join('\n')}\n`;
}

function said(value: unknown, names: ReadonlyMap<string, string>): string {
  if (typeof value === 'string') return names.get(value) ?? value;
  if (typeof value === 'number') return shortNumber(value);
  if (!Array.isArray(value)) return JSON.stringify(value);
  return value.map((one) => item(one, names)).join(', ');
}

/** A number as people read it; `--json` has all its digits. */
function shortNumber(value: number): string {
  return String(Math.abs(value) < 1 ? Number(value.toPrecision(3)) : Number(value.toFixed(2)));
}

/** One of a list in words: what it names first, then what is said of it. */
function item(value: unknown, names: ReadonlyMap<string, string>): string {
  if (typeof value === 'number') return shortNumber(value);
  if (typeof value !== 'object' || value === null) return String(names.get(String(value)) ?? value);
  const { of, parts, ...rest } = value as Record<string, unknown>;
  const target = (of as { id?: string } | undefined)?.id;
  const name = target === undefined ? undefined : (names.get(target) ?? target);
  if (parts !== undefined && name !== undefined) return `${parts} ${name}`;
  const more = Object.entries(rest).map(([key, inner]) =>
    /Id$/.test(key)
      ? (names.get(String(inner)) ?? String(inner))
      : `${key} ${typeof inner === 'object' ? JSON.stringify(inner) : inner}`,
  );
  return [name, ...more].filter((text) => text !== undefined).join(' ');
}

export function changeLine({ seq, at, what, state, sort }: JournalGroup): string {
  const undone = sort === 'change' && state === 'undone' ? '  (undone)' : '';
  return plain(
    `${String(seq).padStart(5)}  ${at.slice(0, 16).replace('T', ' ')}  ${what}${undone}`,
  );
}
