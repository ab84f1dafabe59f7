import type { BookRecord, RecordOf } from './records/record.ts';

/** The clay model in use: the newest that is not deleted. */
export function newestModelOf(records: readonly BookRecord[]): RecordOf<'clay-model'> | undefined {
  const live = records.flatMap((record) =>
    record.kind === 'clay-model' && record.deletedAt === undefined ? [record] : [],
  );
  return live.sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1))[0];
}
