import type { BookStep, PutStep } from '../records/change.ts';
import type { BodyOf, BookKind } from '../records/record.ts';

/** A step that makes a record of a kind; the book names the record where no id is given. */
export function make<K extends BookKind>(kind: K, body: BodyOf<K>, id?: string): PutStep<K> {
  return { do: 'put', kind, ...(id === undefined ? {} : { id }), body };
}

/** The same from fields that were not checked yet; the change refuses what does not fit the kind. */
export function makeUnchecked(kind: BookKind, body: object): BookStep {
  return { do: 'put', kind, body } as unknown as BookStep;
}

/** A step that gives a record another body, if nobody changed the record since it was seen. */
export function change<K extends BookKind>(
  { kind, id, version }: { readonly kind: K; readonly id: string; readonly version: number },
  body: BodyOf<K>,
): PutStep<K> {
  return { do: 'put', kind, id, version, body };
}
