/** What went wrong, by kind; the shells turn a kind into an exit code through one table. */
export type FaultKind = 'bad-input' | 'not-found' | 'conflict' | 'unavailable' | 'internal';

export interface FaultDetail {
  /** Stable name of the fault, kebab-case. */
  readonly code: string;
  readonly kind: FaultKind;
  /** What was found, and where. */
  readonly detail: string;
  /** What the user can do about it. */
  readonly hint: string;
  /** Whether the same call may succeed later. */
  readonly retry?: boolean;
  readonly cause?: unknown;
  /** Facts that a program can act on, beside the words: both versions of a record, what uses it. */
  readonly more?: Readonly<Record<string, unknown>>;
}

/**
 * An error: something that is not an answer. Refusals (no recipe, weak fit) are values, never
 * errors. Survives JSON: `JSON.stringify(error)` gives code, kind, detail, hint, retry, `more`
 * where present, and the cause's text.
 */
export class AppError extends Error {
  readonly code: string;
  readonly kind: FaultKind;
  readonly detail: string;
  readonly hint: string;
  readonly retry: boolean;
  readonly more: Readonly<Record<string, unknown>> | undefined;

  constructor(fault: FaultDetail) {
    super(`${fault.detail} ${fault.hint}`, { cause: fault.cause });
    this.name = 'AppError';
    this.code = fault.code;
    this.kind = fault.kind;
    this.detail = fault.detail;
    this.hint = fault.hint;
    this.retry = fault.retry ?? false;
    this.more = fault.more;
  }

  toJSON(): Record<string, unknown> {
    const { code, kind, detail, hint, retry, more, cause } = this;
    const causeText = cause instanceof Error ? cause.message : cause;
    return {
      code,
      kind,
      detail,
      hint,
      retry,
      ...(more === undefined ? {} : { more }),
      ...(causeText === undefined ? {} : { cause: causeText }),
    };
  }
}

/** Argument of a core function that breaks its stated shape or range. */
export function invalidInput(detail: string, hint = 'Check the call.'): AppError {
  return new AppError({ code: 'invalid-input', kind: 'bad-input', detail, hint });
}
