import { AppError } from '../../core/errors.ts';
import { nearestNames } from '../../core/notation/nearest-name.ts';
import { ERROR_TABLE } from '../../domain/error-table.ts';
import { BOOK_COMMANDS } from '../book/commands.ts';
import { CLAY_COMMANDS } from '../clay-commands.ts';
import type { Command, CommandAnswer } from '../command-parts.ts';
import { programHelp } from '../help.ts';
import { unreadableCall } from '../options.ts';
import { READINGS_COMMANDS } from '../readings-commands.ts';
import { OLD_COMMANDS, renamedCommand } from '../renamed.ts';
import type { CliShell } from '../shell.ts';
import { STRENGTH_COMMANDS } from '../strength-commands.ts';
import { plain } from '../terminal-output.ts';

/** Commands that are questions of `src/verbs`; every verb has one. */
export const VERB_COMMANDS: readonly Command[] = [
  ...READINGS_COMMANDS,
  ...CLAY_COMMANDS,
  ...STRENGTH_COMMANDS,
];
const COMMANDS: readonly Command[] = [...VERB_COMMANDS, ...BOOK_COMMANDS];

/**
 * One call of the command line, from its words to its exit code.
 * Returns: 0 for an answer, refusals among them; by ERROR_TABLE for bad news (a doctor's), and for a
 *          fault, with one sentence on standard error, or with --json one line {"fault": {code, kind, detail, hint, retry}}
 * Holds:   standard output stays empty when a fault is reported
 */
export async function runCli(args: readonly string[], shell: CliShell): Promise<number> {
  try {
    const answer = await answerTo(args, shell);
    shell.clearProgress();
    if (typeof answer === 'string') {
      shell.out(answer);
      return 0;
    }
    shell.out(answer.says);
    return ERROR_TABLE[answer.kind].exitCode;
  } catch (thrown) {
    shell.clearProgress();
    const fault = thrown instanceof AppError ? thrown : unforeseen(thrown);
    const json = args.includes('--json');
    shell.err(
      json
        ? `${JSON.stringify({ fault })}\n`
        : `kneadwell: ${plain(fault.detail)} ${plain(fault.hint)}\n`,
    );
    return ERROR_TABLE[fault.kind].exitCode;
  }
}

function unforeseen(thrown: unknown): AppError {
  return new AppError({
    code: 'unforeseen',
    kind: 'internal',
    detail: `Something inside Kneadwell went another way than it should: ${thrown instanceof Error ? thrown.message : String(thrown)}.`,
    hint: 'Please report it, with the call and the files that led here.',
    cause: thrown,
  });
}

async function answerTo(args: readonly string[], shell: CliShell): Promise<CommandAnswer> {
  const [first, ...rest] = args;
  if (first === undefined || first === '--help' || first === '-h' || first === 'help') {
    const about = rest[0] === undefined ? undefined : commandNamed(rest[0]);
    return about?.help() ?? programHelp(VERB_COMMANDS, BOOK_COMMANDS);
  }
  if (first === '--version') return `kneadwell ${shell.version}\n`;
  const command = commandNamed(first);
  if (command === undefined) throw unknownCommand(first);
  return command.run(rest, shell);
}

function commandNamed(word: string): Command | undefined {
  return COMMANDS.find(({ name }) => name === word);
}

function unknownCommand(word: string): AppError {
  const renamed = renamedCommand(word);
  if (renamed !== undefined) return unreadableCall(`${word} is now called ${renamed}.`, renamed);
  const names = COMMANDS.map(({ name }) => name);
  // Who types the first part of a name means that one, whatever else is a letter away.
  const begun = names.find((name) => word.length > 2 && name.startsWith(`${word}-`));
  const [close] = begun === undefined ? nearestNames(word, [...names, ...OLD_COMMANDS]) : [begun];
  const closest = close === undefined ? undefined : (renamedCommand(close) ?? close);
  const meant = closest === undefined ? '' : ` Did you mean "${closest}"?`;
  return unreadableCall(`Unknown command "${word.slice(0, 40)}".${meant}`, '');
}
