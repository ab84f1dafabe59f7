import { STATUS_CODES } from 'node:http';
import { describe, expect, it } from 'vitest';
import { ERROR_TABLE } from './error-table.ts';

describe('the fault table', () => {
  // Phrases of RFC 9110 section 15, as Node's own table has them.
  it.each([
    ['bad-input', 'Bad Request'],
    ['not-found', 'Not Found'],
    ['conflict', 'Conflict'],
    ['unavailable', 'Service Unavailable'],
    ['internal', 'Internal Server Error'],
  ] as const)('%s is said as %s', (kind, phrase) => {
    expect(STATUS_CODES[ERROR_TABLE[kind].httpStatus]).toBe(phrase);
  });

  it('gives every kind an exit code of its own that a shell does not use itself', () => {
    const codes = Object.values(ERROR_TABLE).map((answer) => answer.exitCode);
    expect(new Set(codes).size).toBe(codes.length);
    // 0 is success, 1 an uncaught throw of Node, 126 and up belong to the shell (POSIX sh 2.8.2).
    for (const code of codes) expect(code > 1 && code < 126).toBe(true);
  });
});
