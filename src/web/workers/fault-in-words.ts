import { z } from 'zod';
import { AppError } from '../../core/errors.ts';
import { issuesOf } from '../../domain/validation-issues.ts';
import { fieldToCheck } from '../book/field-to-check.ts';

interface FaultInWords {
  readonly code: string;
  readonly detail: string;
  readonly hint: string;
}

/** A fault of a worker as words for the page; a question that does not fit names its field. */
export function faultInWords(fault: unknown): FaultInWords {
  if (fault instanceof AppError) {
    return { code: fault.code, detail: fault.detail, hint: fault.hint };
  }
  if (fault instanceof z.ZodError) {
    const [{ field, message }] = issuesOf(fault);
    return { code: 'does-not-fit', detail: fieldToCheck(field, message), hint: '' };
  }
  return {
    code: 'unforeseen',
    detail: String(fault),
    hint: 'Reload the page. Nothing saved is lost.',
  };
}
