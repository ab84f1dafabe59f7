import { blockKey } from '../domain/clay-names.ts';
import type { BookRecord, RecordOf } from '../domain/records/record.ts';
import type { RowChange } from './commit-rows.ts';
import { nameTaken } from './errors.ts';
import type { BookWrites, ListPlace } from './ports.ts';

type Block = RecordOf<'block'>;

const PAGE = 500;

/**
 * Whether every block that is new, renamed or moved has a name of its own in its line.
 * Refuses: a name another live block of the line has -> name-taken (conflict)
 */
export async function checkBlockNames(
  writes: BookWrites,
  changes: readonly RowChange[],
): Promise<void> {
  const after = new Map(changes.map((change) => [change.after.id, change.after]));
  const named = changes
    .filter(isNewlyNamed)
    .map(({ after }) => after)
    .filter(isLiveBlock);
  for (const lineId of new Set(named.map(({ body }) => body.lineId))) {
    const others = (await blocksOf(writes, lineId)).filter(({ id }) => !after.has(id));
    const byKey = new Map<string, Block>();
    for (const one of [...others, ...after.values()].filter(isLiveBlock)) {
      const key = blockKey(one.body);
      const twin = byKey.get(key);
      const mine = [one, twin].find((block) => block !== undefined && named.includes(block));
      if (twin !== undefined && mine !== undefined) {
        const holder = mine === one ? twin : one;
        throw nameTaken(mine, holder, after.get(lineId) ?? (await writes.get(lineId)));
      }
      byKey.set(key, one);
    }
  }
}

function isNewlyNamed({ before, after }: RowChange): boolean {
  if (!isLiveBlock(after)) return false;
  return before?.kind !== 'block' || blockKey(before.body) !== blockKey(after.body);
}

function isLiveBlock(record: BookRecord): record is BookRecord & Block {
  return record.kind === 'block' && record.deletedAt === undefined;
}

async function blocksOf(writes: BookWrites, lineId: string): Promise<readonly BookRecord[]> {
  const records: BookRecord[] = [];
  let after: ListPlace | undefined;
  do {
    const page = await writes.list({
      kind: 'block',
      uses: { id: lineId, role: 'line' },
      sort: 'created',
      descending: false,
      limit: PAGE,
      ...(after === undefined ? {} : { after }),
    });
    records.push(...page.records);
    after = page.next;
  } while (after !== undefined);
  return records;
}
