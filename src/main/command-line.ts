import { readFileSync } from 'node:fs';
import { runCli } from '../cli/program/run.ts';
import { terminalShell } from './terminal.ts';

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

process.exitCode = await runCli(process.argv.slice(2), terminalShell(version));
