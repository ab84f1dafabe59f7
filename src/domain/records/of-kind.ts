import type { BookKind, BookRecord, RecordOf } from './record.ts';

/** The records of one kind among many. */
export function ofKind<K extends BookKind>(
  records: Iterable<BookRecord>,
  kind: K,
): readonly RecordOf<K>[] {
  return [...records].filter((record): record is BookRecord & RecordOf<K> => record.kind === kind);
}
