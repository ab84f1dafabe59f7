import { AppError } from '../core/errors.ts';
import { type BookChange, changeSchema } from '../domain/records/change.ts';
import { issuesOf } from '../domain/validation-issues.ts';

/**
 * A change as somebody sent it, held to its shape.
 * Refuses: anything else -> bad-change (bad-input), with every field that does not fit
 */
export function readChange(sent: unknown): BookChange {
  const read = changeSchema.safeParse(sent);
  if (read.success) return read.data as BookChange;
  const fields = issuesOf(read.error);
  throw new AppError({
    code: 'bad-change',
    kind: 'bad-input',
    detail: `This change does not fit at ${fields[0].field || 'its top'}: ${fields[0].message}.`,
    hint: 'Correct the fields named, and send it again.',
    more: { fields },
    cause: read.error,
  });
}
