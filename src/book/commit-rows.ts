import { AppError } from '../core/errors.ts';
import { itemAt } from '../core/numeric/pairs.ts';
import { indexFieldsOf, titleOf } from '../domain/index-fields.ts';
import type { Link } from '../domain/links.ts';
import type { BookRecord } from '../domain/records/record.ts';
import { codeTaken, inUse, leansOnNothing } from './errors.ts';
import type { BookWrites, RowWrite } from './ports.ts';

export interface RowChange {
  readonly before: BookRecord | undefined;
  readonly after: BookRecord;
}

/** Fields along which a record may not lead back to itself. */
const NO_CIRCLES = ['parts', 'inside'];

/**
 * Writes records under a group that is there already, and holds the book to its rules after it.
 * Refuses: a code two live records would share -> code-taken (conflict); a live record that needs one
 *          that is deleted or missing -> leans-on-nothing (conflict), or in-use (conflict) where the
 *          needed one is what changed; a link to a record of another kind -> wrong-kind (bad-input);
 *          a mix made of itself, by however many steps -> goes-in-a-circle (bad-input)
 */
export async function commitRows(
  writes: BookWrites,
  seq: number,
  changes: readonly RowChange[],
): Promise<readonly RowWrite[]> {
  const rows = changes.map((change) => ({ ...change, facts: indexFieldsOf(change.after) }));
  await checkCodes(writes, rows);
  await writes.write(seq, rows);
  await checkNeeds(writes, rows);
  await checkUsers(writes, rows);
  await checkCircles(writes, rows);
  return rows;
}

async function checkCodes(writes: BookWrites, rows: readonly RowWrite[]): Promise<void> {
  const mine = new Map<string, RowWrite>();
  for (const row of rows) {
    const { code } = row.facts;
    if (code === undefined || row.after.deletedAt !== undefined) continue;
    const slot = `${code.space} ${code.key}`;
    const twin = mine.get(slot);
    if (twin !== undefined) throw codeTaken(writtenCode(row.after), row.after, twin.after);
    mine.set(slot, row);
  }
  const touched = new Set(rows.map(({ after }) => after.id));
  const codes = [...mine.values()].map(({ facts }) => facts.code!);
  for (const { space, key, id } of await writes.codeHolders(codes)) {
    if (touched.has(id)) continue;
    const row = mine.get(`${space} ${key}`)!;
    const holder = (await writes.get(id))!;
    throw codeTaken(writtenCode(row.after), row.after, holder);
  }
}

function writtenCode({ body }: BookRecord): string {
  return 'code' in body ? (body.code ?? '') : '';
}

async function checkNeeds(writes: BookWrites, rows: readonly RowWrite[]): Promise<void> {
  const live = rows.filter(({ after }) => after.deletedAt === undefined);
  const wanted = new Set(live.flatMap(({ facts }) => facts.links.map(({ to }) => to)));
  const found = await writes.getMany([...wanted]);
  for (const { after, facts } of live) {
    for (const link of facts.links) {
      const target = found.get(link.to);
      if (target === undefined && link.weak) continue;
      if (target === undefined) throw leansOnNothing(after, link.role, link.to);
      if (target.kind !== link.kind) throw wrongKind(after, link, target);
      if (target.deletedAt !== undefined && !link.weak) {
        throw leansOnNothing(after, link.role, target);
      }
    }
  }
}

function wrongKind(from: BookRecord, link: Link, target: BookRecord): AppError {
  return new AppError({
    code: 'wrong-kind',
    kind: 'bad-input',
    detail: `${link.to} is named as a ${link.kind} (${link.role}), and is ${titleOf(target)}.`,
    hint: 'Name the right one.',
    more: { id: from.id, role: link.role, expected: link.kind, found: target.kind },
  });
}

async function checkUsers(writes: BookWrites, rows: readonly RowWrite[]): Promise<void> {
  const deleted = rows.filter(({ after }) => after.deletedAt !== undefined);
  if (deleted.length === 0) return;
  const users = await writes.usersOf(deleted.map(({ after }) => after.id));
  const first = users[0]?.toId;
  if (first === undefined) return;
  const ofFirst = users.filter(({ toId }) => toId === first);
  const records = await writes.getMany(ofFirst.map(({ fromId }) => fromId));
  throw inUse(
    deleted.find(({ after }) => after.id === first)!.after,
    ofFirst.map(({ fromId, role }) => ({ record: records.get(fromId)!, role })),
  );
}

/** Walks down from what was written, level by level, then peels off what leads nowhere further. */
async function checkCircles(writes: BookWrites, rows: readonly RowWrite[]): Promise<void> {
  const down = new Map<string, readonly string[]>();
  const steps = (links: readonly Link[]) =>
    links.filter(({ role }) => NO_CIRCLES.includes(role)).map(({ to }) => to);
  for (const { after, facts } of rows) {
    if (after.deletedAt === undefined) down.set(after.id, steps(facts.links));
  }
  let edge = [...down.values()].flat();
  while (edge.length > 0) {
    const fresh = [...new Set(edge)].filter((id) => !down.has(id));
    const found = await writes.getMany(fresh);
    edge = [];
    for (const id of fresh) {
      const record = found.get(id);
      const next = record === undefined ? [] : steps(indexFieldsOf(record).links);
      down.set(id, next);
      edge.push(...next);
    }
  }
  const up = new Map<string, string[]>();
  const left = new Map<string, number>();
  const done: string[] = [];
  for (const [id, next] of down) {
    left.set(id, next.length);
    if (next.length === 0) done.push(id);
    for (const to of next) up.set(to, [...(up.get(to) ?? []), id]);
  }
  for (const id of done) {
    for (const user of up.get(id) ?? []) {
      const count = left.get(user)! - 1;
      left.set(user, count);
      if (count === 0) done.push(user);
    }
  }
  if (done.length === down.size) return;
  const rest = rows.filter(({ after }) => (left.get(after.id) ?? 0) > 0);
  throw await inACircle(writes, itemAt(rest, 0).after, down, left);
}

async function inACircle(
  writes: BookWrites,
  from: BookRecord,
  down: ReadonlyMap<string, readonly string[]>,
  left: ReadonlyMap<string, number>,
): Promise<AppError> {
  const path: string[] = [];
  let at = from.id;
  while (!path.includes(at)) {
    path.push(at);
    at = down.get(at)!.find((id) => left.get(id)! > 0)!;
  }
  const circle = path.slice(path.indexOf(at));
  const records = await writes.getMany(circle);
  const names = [...circle, at].map((id) => titleOf(records.get(id)!));
  return new AppError({
    code: 'goes-in-a-circle',
    kind: 'bad-input',
    detail: `It would go in a circle: ${names.join(' -> ')}.`,
    hint: 'Something cannot be made of itself. Take one of these out.',
    more: { circle },
  });
}
