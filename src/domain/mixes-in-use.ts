import type { RecordOf } from './records/record.ts';

/** The mixes of a book that count where every mix is asked for. A retired mix stays only for its history. */
export function mixesInUse(mixes: readonly RecordOf<'mix'>[]): readonly RecordOf<'mix'>[] {
  return mixes.filter(({ body }) => body.status !== 'retired');
}
