import type { z } from 'zod';
import { chartEditions, sheetNames } from '../domain/records/photo-request.ts';
import type { Command, CommandParts } from './command-parts.ts';
import { fieldValue } from './field-values.ts';
import { chartValue, fileValue, sheetValue } from './file-values.ts';
import { helpOf } from './help.ts';
import { type OptionField, optionFields } from './option-fields.ts';
import { type Given, givenFrom, type Typed, unreadableCall } from './options.ts';
import type { CliShell } from './shell.ts';

/** A command, made from one schema: its options, its help and what its call is checked by. */
export function command<Options extends z.ZodObject>(parts: CommandParts<Options>): Command {
  const { name, usage, asks, options, refuses } = parts;
  let made: readonly OptionField[] | undefined;
  const fields = () => {
    made ??= optionFields(options);
    return made;
  };
  const help = () => helpOf(parts, fields());
  return {
    name,
    usage,
    asks,
    help,
    async run(args, shell) {
      const given = givenFrom(args, fields(), name);
      if (given.switches.has('help')) return help();
      const refusal = refuses?.(given.operands);
      if (refusal !== undefined) throw unreadableCall(refusal, name);
      const read = options.safeParse(await valuesOf(fields(), given, name, shell));
      if (!read.success) throw invalidOption(read.error, fields(), name);
      const json = given.switches.has('json');
      const files = new Map(
        fields().flatMap(({ file }) => {
          const path = given.values.get(file?.option ?? '')?.[0];
          return file === undefined || path === undefined ? [] : [[file.option, path] as const];
        }),
      );
      const { operands } = given;
      return parts.answer({ options: read.data, operands, json, files }, shell);
    },
  };
}

type Values = { [key: string]: unknown };

/** What was typed for a field. */
function typedFor({ operand, option = '' }: OptionField, given: Given): Typed | undefined {
  const [word] = given.operands;
  if (operand === undefined) return given.values.get(option);
  return word === undefined ? undefined : [word];
}

/** What was typed as the call's own values; files are read last, so that a slip costs no reading. */
async function valuesOf(
  fields: readonly OptionField[],
  given: Given,
  name: string,
  { ports }: CliShell,
): Promise<Values> {
  const values: Values = {};
  const later: (() => Promise<void>)[] = [];
  for (const field of fields) {
    // The question itself is there even where nothing is said of it.
    const { option, path, file, reads, kind, required } = field;
    if (path.length > 1) values[path[0]] ??= {};
    const typed = typedFor(field, given);
    const named = file === undefined ? undefined : given.values.get(file.option)?.[0];
    if (kind === 'switch' && given.switches.has(option ?? '')) put(values, path, true);
    if (named !== undefined && typed !== undefined) throw unreadableCall(eitherWay(field), name);
    if (required && named === undefined && (typed === undefined || typed[0].trim() === '')) {
      throw unreadableCall(missing(field), name);
    }
    if (file !== undefined && named !== undefined) {
      later.push(async () => put(values, path, await fileValue(file.holds, named, ports)));
    } else if (typed === undefined) continue;
    else if (reads === 'sheet') {
      later.push(async () => put(values, path, await sheetValue(typed[0], sheetNames, ports)));
    } else if (reads === 'chart') {
      const { options } = chartEditions;
      later.push(async () => put(values, path, await chartValue(typed[0], options, ports)));
    } else put(values, path, fieldValue(field, typed, name));
  }
  for (const read of later) await read();
  return values;
}

function put(values: Values, [key, ...rest]: OptionField['path'], value: unknown): void {
  const [next, ...deeper] = rest;
  if (next === undefined) {
    values[key] = value;
    return;
  }
  const inside = (values[key] ?? {}) as Values;
  values[key] = inside;
  put(inside, [next, ...deeper], value);
}

function eitherWay({ option, value, file }: OptionField): string {
  return `Give either --${option} ${value} or --${file?.option} FILE.`;
}

function missing(field: OptionField): string {
  const { option, example, file } = field;
  if (file !== undefined && option !== undefined) return eitherWay(field);
  if (file !== undefined) return `--${file.option} FILE is missing.`;
  const typed = example === undefined ? '' : `, for example --${option} ${quoted(example)}`;
  return `--${option} is missing${typed}.`;
}

function quoted(example: string): string {
  return /[\s#]/.test(example) ? `"${example}"` : example;
}

/** What the schema itself refuses, by the option it was given with. */
function invalidOption(error: z.ZodError, fields: readonly OptionField[], name: string) {
  const { path = [], message = '' } = error.issues[0] ?? {};
  const field = fields.find((one) => one.path.every((key, i) => key === path[i]));
  const option = field?.option ?? field?.file?.option;
  return unreadableCall(
    option === undefined ? `${path.join('.')}: ${message}.` : `--${option}: ${message}.`,
    name,
  );
}

/** At most so many operands; `what` is asked for where there is none. */
export function operands(least: number, most: number, what: string, more: string) {
  return (given: readonly string[]): string | undefined => {
    if (given.length < least) return what;
    return given.length > most ? more.replace('WORDS', given.join(', ').slice(0, 80)) : undefined;
  };
}

/** No word without an option. */
export function noOperands([word]: readonly string[]): string | undefined {
  return word === undefined ? undefined : `"${word.slice(0, 40)}" is one word too many.`;
}
