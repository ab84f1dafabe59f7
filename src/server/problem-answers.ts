import { STATUS_CODES } from 'node:http';
import { z } from 'zod';
import { type Problem, STATUS_OF_CODE } from '../api/problem.ts';
import { AppError } from '../core/errors.ts';
import { ERROR_TABLE } from '../domain/error-table.ts';
import { deepest, issueInWords } from '../domain/validation-issues.ts';

/** Fields of one request that one answer names. */
const MOST_FIELDS = 20;

/** What the API tells of a fault. A fault nobody foresaw tells nothing of the inside. */
export function problemOf(thrown: unknown, ifMatch = false): Problem {
  const fault = thrown instanceof AppError ? thrown : unforeseen();
  const { code, kind, detail, hint, retry, more } = fault;
  // RFC 9110 section 13.1.1: a stale If-Match is a failed precondition.
  const status =
    ifMatch && code === 'stale-write'
      ? 412
      : (STATUS_OF_CODE[code] ?? ERROR_TABLE[kind].httpStatus);
  const { fields, ...rest } = more ?? {};
  return {
    type: 'about:blank',
    title: STATUS_CODES[status] ?? 'Unknown',
    status,
    detail,
    code,
    kind,
    hint,
    retry,
    ...(Array.isArray(fields) ? { fields: fields.map(fieldOf) } : {}),
    ...(Object.keys(rest).length === 0 ? {} : { more: rest }),
  };
}

type Part = NonNullable<Problem['fields']>[number]['in'];
const PARTS: Readonly<Record<string, Part>> = {
  body: 'body',
  querystring: 'query',
  params: 'path',
  headers: 'header',
};

/** A request that does not fit its schema, each field by its place. */
export function invalid(error: z.ZodError, context: string): AppError {
  const part = PARTS[context] ?? 'body';
  const fields = error.issues
    .flatMap((issue) => deepest(issue))
    .slice(0, MOST_FIELDS)
    .map((issue) => ({ in: part, pointer: pointerOf(issue.path), detail: issueInWords(issue) }));
  const [first] = fields.map(
    ({ pointer, detail }) => `${pointer === '#' ? '' : ` at ${pointer}`}: ${detail}`,
  );
  return new AppError({
    code: 'does-not-fit',
    kind: 'bad-input',
    detail: `The ${WORDS[part]} does not fit${first ?? ''}.`,
    hint: 'Correct what is named, and send it again.',
    more: { fields },
  });
}

const WORDS: Readonly<Record<Part, string>> = {
  body: 'body',
  query: 'query',
  path: 'path',
  header: 'header',
};

/** Source: RFC 6901 sections 3 and 6 */
function pointerOf(path: readonly PropertyKey[]): string {
  const steps = path.map((step) => String(step).replaceAll('~', '~0').replaceAll('/', '~1'));
  return `#${steps.map((step) => `/${encodeURIComponent(step)}`).join('')}`;
}

/** The book's own faults name fields by dots. */
function fieldOf(field: unknown): NonNullable<Problem['fields']>[number] {
  const given = field as { field?: string; message?: string } & NonNullable<
    Problem['fields']
  >[number];
  if (given.pointer !== undefined) return given;
  const path = given.field === undefined || given.field === '' ? [] : given.field.split('.');
  return { in: 'body', pointer: pointerOf(path), detail: given.message ?? '' };
}

function unforeseen(): AppError {
  return new AppError({
    code: 'unforeseen',
    kind: 'internal',
    detail: 'Kneadwell met something it was not made for. Nothing of this was kept.',
    hint: 'Try again; if it comes back, the log of the server has what happened.',
  });
}

export function plainFault(
  code: string,
  kind: AppError['kind'],
  detail: string,
  hint: string,
  more: { readonly retry?: boolean; readonly more?: Record<string, unknown> } = {},
): AppError {
  return new AppError({ code, kind, detail, hint, ...more });
}

/** What the framework refuses by itself, in our words. */
export function faultOfFramework(error: {
  code?: string;
  statusCode?: number;
}): AppError | undefined {
  const { code, statusCode } = error;
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE' || statusCode === 413) {
    return plainFault(
      'body-too-large',
      'bad-input',
      'More was sent than is taken in one go.',
      'Send it in several parts.',
    );
  }
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE' || statusCode === 415) {
    return plainFault(
      'body-of-other-type',
      'bad-input',
      'This kind of body is not taken here.',
      'Send JSON as application/json, a photo as what it is.',
    );
  }
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500) {
    return plainFault(
      'request-unreadable',
      'bad-input',
      'This request could not be read.',
      'Look at its body: it must be whole, and JSON.',
    );
  }
  return undefined;
}

export function isZodError(thrown: unknown): thrown is z.ZodError & { validationContext?: string } {
  return thrown instanceof z.ZodError || thrown instanceof z.core.$ZodError;
}
