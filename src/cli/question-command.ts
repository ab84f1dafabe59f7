import { z } from 'zod';
import { command } from './command.ts';
import type { Call, Command, CommandParts } from './command-parts.ts';
import { onBook } from './shared-options.ts';
import type { CliShell } from './shell.ts';

/** The options of a question that may be asked of a book. */
export interface OnBook<Q> {
  readonly question: Q;
  readonly book: boolean;
  readonly folder?: string;
}
type OnBookSchema<Q> = z.ZodObject & z.ZodType<OnBook<Q>>;

/** The schema of those options. */
export function withBook<Question extends z.ZodObject>(question: Question) {
  return z.strictObject({ question, ...onBook });
}

interface QuestionCommand<Q, Shown> extends Omit<CommandParts<z.ZodObject>, 'options' | 'answer'> {
  readonly options: OnBookSchema<Q>;
  /** Everything that is shown. */
  readonly answered: (call: Call<OnBook<Q>>, shell: CliShell) => Promise<Shown>;
  readonly toJson: (shown: Shown) => string;
  readonly toText: (shown: Shown) => string;
}

/** A command that asks a question and shows the answer, as text or with --json. */
export function questionCommand<Q, Shown>({
  answered,
  toJson,
  toText,
  ...parts
}: QuestionCommand<Q, Shown>): Command {
  return command<OnBookSchema<Q>>({
    ...parts,
    async answer(call, shell) {
      const shown = await answered(call, shell);
      return call.json ? `${toJson(shown)}\n` : toText(shown);
    },
  });
}
