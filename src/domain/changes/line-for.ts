import { clayKey } from '../../core/notation/clay-name.ts';
import type { BookStep } from '../records/change.ts';
import type { RecordOf } from '../records/record.ts';
import { make } from './steps.ts';

/** The line of blocks whose line nobody named. */
const UNNAMED_LINE = 'My clays';

/** The line of that name, and the step that makes the line where the book has none. */
export function lineFor(
  name: string,
  lines: Iterable<Pick<RecordOf<'line'>, 'id' | 'body'>>,
  newId: (kind: string) => string,
): { readonly id: string; readonly steps: readonly BookStep[] } {
  const called = name.trim() === '' ? UNNAMED_LINE : name.trim();
  const known = [...lines].find(({ body }) => clayKey(body.name) === clayKey(called));
  if (known !== undefined) return { id: known.id, steps: [] };
  const id = newId('line');
  return { id, steps: [make('line', { name: called, status: 'current' }, id)] };
}
