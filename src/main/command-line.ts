import { runCli } from '../cli/program/run.ts';
import { programShell } from './program-shell.ts';

process.exitCode = await runCli(process.argv.slice(2), programShell());
