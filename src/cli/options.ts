import { parseArgs } from 'node:util';
import type { Viewing } from '../core/colour/adaptation.ts';
import { LIGHT_NAMES, type LightName, lightFromName } from '../core/colour/weights.ts';
import { AppError } from '../core/errors.ts';
import { BASES, type Basis } from '../core/mixes/mix-graph.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';

/** How an option is given: a switch, one value, or a value each time it is written. */
export type OptionKind = 'switch' | 'value' | 'values';

export interface Given {
  readonly operands: readonly string[];
  readonly switches: ReadonlySet<string>;
  readonly values: ReadonlyMap<string, readonly string[]>;
}

const LETTERS: Readonly<Record<string, string>> = { h: 'help' };

/**
 * A call taken apart.
 * Refuses: an option the verb does not have (with the nearest it has), a missing or surplus value,
 *          an option twice -> call-unreadable (bad-input)
 */
export function givenFrom(
  args: readonly string[],
  kinds: Readonly<Record<string, OptionKind>>,
  verb: string,
): Given {
  const { tokens, positionals } = parseArgs({
    args: [...args],
    strict: false,
    tokens: true,
    allowPositionals: true,
    options: Object.fromEntries(
      Object.entries(kinds).map(([name, kind]) => [
        name,
        { type: kind === 'switch' ? ('boolean' as const) : ('string' as const), multiple: true },
      ]),
    ),
  });
  const switches = new Set<string>();
  const values = new Map<string, string[]>();
  for (const token of tokens) {
    if (token.kind !== 'option') continue;
    const name = LETTERS[token.name] ?? token.name;
    const kind = Object.hasOwn(kinds, name) ? kinds[name] : undefined;
    if (kind === undefined) throw unknownOption(token.rawName, Object.keys(kinds), verb);
    if (kind === 'switch') {
      if (token.value !== undefined) {
        throw unreadableCall(`--${name} takes no value, and "${token.value}" was given.`, verb);
      }
      switches.add(name);
      continue;
    }
    if (token.value === undefined || /^--[a-z]/.test(token.value)) {
      throw unreadableCall(`--${name} wants a value after it.`, verb);
    }
    const before = values.get(name) ?? [];
    if (before.length > 0 && kind === 'value') {
      throw unreadableCall(`--${name} was given twice.`, verb);
    }
    values.set(name, [...before, token.value]);
  }
  return { operands: positionals, switches, values };
}

export function unreadableCall(detail: string, verb: string): AppError {
  return new AppError({
    code: 'call-unreadable',
    kind: 'bad-input',
    detail,
    hint: `See "kneadwell ${verb === '' ? '' : `${verb} `}--help".`,
  });
}

function unknownOption(raw: string, names: readonly string[], verb: string): AppError {
  const [nearest] = nearestNames(raw.replace(/^-+/, ''), names);
  const meant = nearest === undefined ? '' : ` Did you mean --${nearest}?`;
  return unreadableCall(`There is no option ${raw.slice(0, 40)} here.${meant}`, verb);
}

/** The one value of an option, if it was given. */
export function oneValue(given: Given, name: string): string | undefined {
  return given.values.get(name)?.[0];
}

/** The value of an option that the verb cannot do without. */
export function neededValue(given: Given, name: string, example: string, verb: string): string {
  const value = oneValue(given, name);
  if (value !== undefined && value !== '') return value;
  throw unreadableCall(`--${name} is missing, for example ${example}.`, verb);
}

/** A number within limits; a decimal comma is understood. */
export function numberOf(
  given: Given,
  name: string,
  fallback: number,
  [low, high]: readonly [number, number],
  verb: string,
  whole = false,
): number {
  const text = oneValue(given, name);
  if (text === undefined) return fallback;
  const value = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/.test(text)
    ? Number(text.replace(',', '.'))
    : Number.NaN;
  if (value >= low && value <= high && (!whole || Number.isInteger(value))) return value;
  throw unreadableCall(
    `--${name} is "${text.slice(0, 40)}"; it is a ${whole ? 'whole ' : ''}number from ${low} to ${high}.`,
    verb,
  );
}

/** Light and observer; D50 and 2 degrees when nothing is said. */
export function viewingOf(given: Given, verb: string): Viewing {
  const light = lightOf(oneValue(given, 'light') ?? 'D50', 'light', verb);
  const observer = (oneValue(given, 'observer') ?? '2').replace(/\s*°$/, '');
  if (observer !== '2' && observer !== '10') {
    throw unreadableCall(
      `--observer is "${observer.slice(0, 40)}"; it is 2 or 10 (degrees).`,
      verb,
    );
  }
  return { light, observer: observer === '2' ? 2 : 10 };
}

export function lightOf(named: string, option: string, verb: string): LightName {
  const light = lightFromName(named);
  if (light !== undefined) return light;
  throw unreadableCall(
    `--${option} is "${named.slice(0, 40)}"; the lights are ${LIGHT_NAMES.join(', ')}.`,
    verb,
  );
}

export function basisOf(given: Given, verb: string): Basis | undefined {
  const text = oneValue(given, 'basis');
  if (text === undefined) return undefined;
  const basis = BASES.find((name) => name === text.trim().toLowerCase());
  if (basis !== undefined) return basis;
  throw unreadableCall(`--basis is "${text.slice(0, 40)}"; it is volume or weight.`, verb);
}

/** Names parted by commas; a name that holds a comma goes in double quotes, doubled inside. */
export function namesOf(texts: readonly string[]): readonly string[] {
  return texts
    .flatMap((text) => text.match(/"(?:[^"]|"")*"|[^,"]+/g) ?? [])
    .map((name) => name.trim())
    .map((name) => (/^".*"$/s.test(name) ? name.slice(1, -1).replaceAll('""', '"') : name))
    .filter((name) => name !== '');
}
