import { upgradedKind } from '../domain/upgrade-record.ts';

/** Commands as they were called before, and as they are called now. */
const COMMANDS: Readonly<Record<string, string>> = { seek: 'find' };

/** Options as they were called before, by the command that has them now. */
const OPTIONS: ReadonlyMap<string, ReadonlyMap<string, string>> = new Map([
  [
    'find',
    new Map([
      ['parents', 'clays'],
      ['give-up', 'relax'],
    ]),
  ],
  ['try', new Map([['parents', 'clays']])],
  ['list', new Map([['bin', 'deleted']])],
]);

/** Names of before, for whoever mistypes one. */
export const OLD_COMMANDS: readonly string[] = Object.keys(COMMANDS);

export function renamedCommand(name: string): string | undefined {
  return Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
}

export function renamedOption(name: string, command: string): string | undefined {
  return OPTIONS.get(command)?.get(name);
}

/** What is added to a book by a former name. */
export function renamedKind(name: string): string | undefined {
  const now = name === 'sign' ? 'short-name' : upgradedKind(name);
  return now === name ? undefined : now;
}
