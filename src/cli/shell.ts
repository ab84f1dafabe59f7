import type { BookShell } from './book-shell.ts';
import type { Ports } from './ports.ts';
import type { Screen } from './terminal-output.ts';

/** Where a call comes from and its answers go. */
export interface CliShell {
  readonly ports: Ports;
  readonly screen: Screen;
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Takes a progress line away before anything else is written. */
  readonly clearProgress: () => void;
  readonly version: string;
  /** Loaded when a call wants the mix book, so that the others start without its engine. */
  readonly book: () => Promise<BookShell>;
}
