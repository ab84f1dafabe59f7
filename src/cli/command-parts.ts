import type { z } from 'zod';
import type { FaultKind } from '../core/errors.ts';
import type { CliShell } from './shell.ts';

/** What a command is given, read and checked. */
export interface Call<Options> {
  readonly options: Options;
  /** Words without an option. */
  readonly operands: readonly string[];
  readonly json: boolean;
  /** Paths of the files that options named, by option. */
  readonly files: ReadonlyMap<string, string>;
}

/** An answer that ends with the exit code of a kind of fault, though nothing went wrong in giving it. */
export interface BadNews {
  readonly says: string;
  readonly kind: FaultKind;
}
export type CommandAnswer = string | BadNews;

export interface CommandParts<Options extends z.ZodObject> {
  readonly name: string;
  /** After "kneadwell": `find CLAY --aim COLOUR`. */
  readonly usage: string;
  /** What it answers or does, in a line. */
  readonly asks: string;
  /** More of it, above the options. */
  readonly about?: string;
  /** More of it, below the options. */
  readonly after?: string;
  /** All options of the command, with limits, defaults and help: the schema is the definition. */
  readonly options: Options;
  /** Fields of the answer with --json. */
  readonly json?: string;
  /** Why a call with these operands cannot be read. */
  readonly refuses?: (operands: readonly string[]) => string | undefined;
  answer(call: Call<z.output<Options>>, shell: CliShell): Promise<CommandAnswer>;
}

/** A command as the table of all holds it. */
export interface Command {
  readonly name: string;
  readonly usage: string;
  readonly asks: string;
  readonly help: () => string;
  readonly run: (args: readonly string[], shell: CliShell) => Promise<CommandAnswer>;
}
