import type { FaultKind } from '../core/errors.ts';

export interface FaultAnswer {
  /** What the command line ends with; 0 is kept for an answer, refusals among them. */
  readonly exitCode: number;
  readonly httpStatus: number;
}

/**
 * The one table from a kind of fault to what a shell says with it.
 * Source: HTTP status, RFC 9110 section 15; exit codes 2 for a call that cannot be read (common
 *         practice, no source) and 70 for a fault of the program (BSD sysexits, EX_SOFTWARE); 3-5
 *         are the house's own and stay as they are, because scripts test for them
 */
export const ERROR_TABLE: Readonly<Record<FaultKind, FaultAnswer>> = {
  'bad-input': { exitCode: 2, httpStatus: 400 },
  'not-found': { exitCode: 3, httpStatus: 404 },
  conflict: { exitCode: 4, httpStatus: 409 },
  unavailable: { exitCode: 5, httpStatus: 503 },
  internal: { exitCode: 70, httpStatus: 500 },
};
