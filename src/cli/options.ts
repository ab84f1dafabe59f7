import { parseArgs } from 'node:util';
import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import type { OptionField } from './option-fields.ts';
import { renamedOption } from './renamed.ts';

/** A call taken apart: words as they were typed. */
export interface Given {
  readonly operands: readonly string[];
  readonly switches: ReadonlySet<string>;
  readonly values: ReadonlyMap<string, Typed>;
}

/** What was typed for one option, at least once. */
export type Typed = readonly [string, ...string[]];

/** How an option is given: a switch, one value, or a value each time it is written. */
type OptionKind = 'switch' | 'value' | 'values';

const LETTERS: Readonly<Record<string, string>> = { h: 'help' };

/** Every option of some fields; `help` and `json` are everybody's. */
function kindsOf(fields: readonly OptionField[]): ReadonlyMap<string, OptionKind> {
  const kinds = new Map<string, OptionKind>([
    ['help', 'switch'],
    ['json', 'switch'],
  ]);
  for (const { option, kind, many, file } of fields) {
    if (option !== undefined) {
      kinds.set(option, kind === 'switch' ? 'switch' : many ? 'values' : 'value');
    }
    if (file !== undefined) kinds.set(file.option, 'value');
  }
  return kinds;
}

/**
 * A call taken apart.
 * Refuses: an option the command does not have (with the closest it has), a missing or surplus value,
 *          an option twice -> call-unreadable (bad-input)
 */
export function givenFrom(
  args: readonly string[],
  fields: readonly OptionField[],
  command: string,
): Given {
  const kinds = kindsOf(fields);
  const { tokens, positionals } = parseArgs({
    args: [...args],
    strict: false,
    tokens: true,
    allowPositionals: true,
    options: Object.fromEntries(
      [...kinds].map(([name, kind]) => [
        name,
        { type: kind === 'switch' ? ('boolean' as const) : ('string' as const), multiple: true },
      ]),
    ),
  });
  const switches = new Set<string>();
  const values = new Map<string, Typed>();
  for (const token of tokens) {
    if (token.kind !== 'option') continue;
    const name = LETTERS[token.name] ?? token.name;
    const kind = kinds.get(name);
    if (kind === undefined) throw unknownOption(token.rawName, [...kinds.keys()], command);
    if (kind === 'switch') {
      if (token.value !== undefined) {
        throw unreadableCall(`--${name} takes no value, and "${token.value}" was given.`, command);
      }
      switches.add(name);
      continue;
    }
    if (token.value === undefined || /^--[a-z]/.test(token.value)) {
      throw unreadableCall(`--${name} wants a value after it.`, command);
    }
    const before = values.get(name);
    if (before !== undefined && kind === 'value') {
      throw unreadableCall(`--${name} was given twice.`, command);
    }
    values.set(name, before === undefined ? [token.value] : [...before, token.value]);
  }
  return { operands: positionals, switches, values };
}

export function unreadableCall(detail: string, command: string): AppError {
  return new AppError({
    code: 'call-unreadable',
    kind: 'bad-input',
    detail,
    hint: `See "kneadwell ${command === '' ? '' : `${command} `}--help".`,
  });
}

function unknownOption(raw: string, names: readonly string[], command: string): AppError {
  const name = raw.replace(/^-+/, '');
  const renamed = renamedOption(name, command);
  if (renamed !== undefined) {
    return unreadableCall(`--${name} is now called --${renamed}.`, command);
  }
  const [closest] = nearestNames(name, names);
  const meant = closest === undefined ? '' : ` Did you mean --${closest}?`;
  return unreadableCall(`There is no option ${raw.slice(0, 40)} here.${meant}`, command);
}
