import type { z } from 'zod';
import { itemAt } from '../core/numeric/pairs.ts';

export interface ValidationIssue {
  readonly field: string;
  readonly message: string;
}

type Issue = z.core.$ZodIssue;

/** What does not fit a shape, in plain words, `most` at a time. */
export function issuesOf(
  error: z.ZodError,
  most = 20,
): readonly [ValidationIssue, ...ValidationIssue[]] {
  const issues = error.issues
    .flatMap((issue) => deepest(issue))
    .slice(0, most)
    .map((issue) => ({ field: issue.path.map(String).join('.'), message: issueInWords(issue) }));
  return [itemAt(issues, 0), ...issues.slice(1)];
}

/** Of a choice that fits nowhere, the branch that went farthest says what is wrong. */
export function deepest(issue: Issue): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  const depth = (branch: readonly Issue[]) => Math.max(...branch.map(({ path }) => path.length));
  const misnamed = (branch: readonly Issue[]) =>
    branch.filter(({ code }) => code === 'invalid_value').length;
  // The branch whose own words fit is the one that was meant.
  const [best = []] = issue.errors.toSorted(
    (one, other) =>
      misnamed(one) - misnamed(other) || depth(other) - depth(one) || one.length - other.length,
  );
  return best
    .map((inner) => ({ ...inner, path: [...issue.path, ...inner.path] }))
    .flatMap((inner) => deepest(inner as Issue));
}

const TYPES: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  tuple: 'a list',
  object: 'a record of fields',
};

/** What is wrong with one field, in plain words. */
export function issueInWords(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return /received undefined$/.test(issue.message)
        ? 'it is missing'
        : `it should be ${TYPES[issue.expected] ?? issue.expected}`;
    case 'too_small':
      return `it should be at least ${issue.minimum}${lengthOf(issue.origin)}`;
    case 'too_big':
      return `it should be at most ${issue.maximum}${lengthOf(issue.origin)}`;
    case 'invalid_value':
      return `it should be ${oneOf(issue.values)}`;
    case 'unrecognized_keys':
      return `nothing there is called ${issue.keys.join(', ')}`;
    case 'invalid_format':
      return FORMATS[issue.format] ?? 'it is not written as it should be';
    case 'invalid_union':
      // The word that says which kind of record this is, is missing or unknown.
      return 'options' in issue && Array.isArray(issue.options)
        ? `it should be ${oneOf(issue.options)}`
        : 'it is none of what is allowed here';
    case 'custom':
      return `it wants ${issue.message}`;
    default:
      return 'it is not as it should be';
  }
}

const FORMATS: Readonly<Record<string, string>> = {
  date: 'it should be a day like 2026-01-31',
  datetime: 'it should be a moment like 2026-01-31T09:30:00.000Z',
};

function oneOf(values: readonly unknown[]): string {
  const words = values.map(String);
  const last = words.pop();
  return words.length === 0 ? `${last}` : `${words.join(', ')} or ${last}`;
}

function lengthOf(origin: string): string {
  if (origin === 'string') return ' letters long';
  return origin === 'array' ? ' long' : '';
}
