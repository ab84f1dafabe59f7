import { readFileSync } from 'node:fs';
import type { CliShell } from '../cli/shell.ts';
import { terminalShell } from './terminal.ts';

/** The shell of a whole process: this version, and an output that somebody may stop reading. */
export function programShell(): CliShell {
  const { version } = JSON.parse(
    readFileSync(new URL('../../package.json', import.meta.url), 'utf8'),
  ) as { version: string };
  // A reader that has seen enough closes the pipe; that is no fault of anybody.
  process.stdout.on('error', (fault: NodeJS.ErrnoException) => {
    if (fault.code === 'EPIPE') process.exit(0);
    process.stderr.write(`kneadwell: the answer could not be written (${fault.code}).\n`);
    process.exit(5);
  });
  // Where nobody hears what went wrong, the exit code still tells.
  process.stderr.on('error', () => {});
  return terminalShell(version);
}
