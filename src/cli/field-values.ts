import { LIGHT_NAMES, type LightName, lightFromName } from '../core/colour/weights.ts';
import { inARow } from '../core/in-a-row.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import type { Point } from '../core/photo/plane-view.ts';
import type { OptionField } from './option-fields.ts';
import { type Typed, unreadableCall } from './options.ts';

/** The value of a field from what was typed. Refuses: text that is none -> call-unreadable */
export function fieldValue(field: OptionField, texts: Typed, command: string): unknown {
  const { option = '', reads, kind, many } = field;
  const [text] = texts;
  const fail = (detail: string) => unreadableCall(detail, command);
  switch (reads) {
    case 'light':
      return lightOf(text, option, command);
    case 'lights':
      return namesIn(field, texts, command).map((name) => lightOf(name, option, command));
    case 'mix':
      return texts.map((words) => ({ words }));
    case 'colour':
      return texts;
    case 'share':
      return texts.map((text) => {
        const share = shareFrom(text);
        if (share !== undefined) return share;
        throw fail(
          `--${option} is "${text.slice(0, 60)}"; it is a share and what of, like "50 % Saltmarsh".`,
        );
      });
    case 'tap':
      return texts.map((text) => {
        const tap = tapFrom(text);
        if (tap !== undefined) return tap;
        throw fail(
          `--${option} is "${text.slice(0, 60)}"; it is a name and a place in pixels, like "Limpet 1@820,640".`,
        );
      });
    case 'place': {
      const place = pointFrom(text.trim());
      if (place !== undefined) return place;
      throw fail(`--${option} is "${text.slice(0, 60)}"; it is a place in pixels, like "640,480".`);
    }
    case 'corners': {
      const corners = text.trim().split(/\s+/).map(pointFrom);
      if (corners.length === 4 && !corners.includes(undefined)) return corners;
      throw fail(
        `--${option} is "${text.slice(0, 60)}"; it is four places in pixels, like "80,95 1120,90 1130,1510 75,1500".`,
      );
    }
    default:
      if (kind === 'names') return namesIn(field, texts, command);
      if (kind === 'number') return numberFrom(field, text, command);
      if (kind === 'choice') return choiceFrom(field, text, command);
      return many ? texts : text;
  }
}

function namesIn(
  { option, noun = 'clay' }: OptionField,
  texts: readonly string[],
  command: string,
) {
  const names = namesOf(texts);
  if (names.length > 0) return names;
  throw unreadableCall(`--${option} names no ${noun}.`, command);
}

/** A number within limits; a decimal comma is understood. */
function numberFrom(field: OptionField, text: string, command: string): number {
  const { option, low, high, whole } = field;
  const value = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/.test(text)
    ? Number(text.replace(',', '.'))
    : Number.NaN;
  if (value >= low && value <= high && (!whole || Number.isInteger(value))) return value;
  throw unreadableCall(
    `--${option} is "${text.slice(0, 40)}"; it is a ${whole ? 'whole ' : ''}number from ${low} to ${high}.`,
    command,
  );
}

/** One of some words, in capitals or not; the sign of degrees may follow. */
function choiceFrom({ option, choices }: OptionField, text: string, command: string) {
  const plain = text.trim().replace(/\s*°$/, '').toLowerCase();
  const choice = choices.find((one) => String(one).toLowerCase() === plain);
  if (choice !== undefined) return choice;
  const words = choices.map(String);
  const [closest] = nearestNames(text, words);
  throw unreadableCall(
    `--${option} is "${text.slice(0, 40)}"; it is ${inARow(words, 'or')}.${closest === undefined ? '' : ` Did you mean ${closest}?`}`,
    command,
  );
}

function lightOf(named: string, option: string, command: string): LightName {
  const light = lightFromName(named);
  if (light !== undefined) return light;
  throw unreadableCall(
    `--${option} is "${named.slice(0, 40)}"; the lights are ${LIGHT_NAMES.join(', ')}.`,
    command,
  );
}

/** Names between commas; a name that holds a comma goes in double quotes, doubled inside. */
export function namesOf(texts: readonly string[]): readonly string[] {
  return texts
    .flatMap((text) => text.match(/"(?:[^"]|"")*"|[^,"]+/g) ?? [])
    .map((name) => name.trim())
    .map((name) => (/^".*"$/s.test(name) ? name.slice(1, -1).replaceAll('""', '"') : name))
    .filter((name) => name !== '');
}

/** "50 % Saltmarsh" or "Saltmarsh 50%". */
function shareFrom(text: string): { of: string; share: number } | undefined {
  const match =
    /^\s*(\d+(?:[.,]\d+)?)\s*%\s*(?:of\s+)?(.+?)\s*$/i.exec(text) ??
    /^\s*(.+?)\s+(\d+(?:[.,]\d+)?)\s*%\s*$/.exec(text);
  if (match === null) return undefined;
  const [, first = '', second = ''] = match;
  const [number, of] =
    /^\d/.test(first) && !/^\d+(?:[.,]\d+)?$/.test(second) ? [first, second] : [second, first];
  const share = Number(number.replace(',', '.')) / 100;
  if (!(share >= 0 && share <= 1)) return undefined;
  return { of: of.replace(/^"(.*)"$/s, '$1'), share };
}

function tapFrom(text: string): { name: string; at: Point } | undefined {
  const at = text.lastIndexOf('@');
  const point = at < 1 ? undefined : pointFrom(text.slice(at + 1).trim());
  return point === undefined ? undefined : { name: text.slice(0, at).trim(), at: point };
}

function pointFrom(text: string): Point | undefined {
  const parts = /^(\d+(?:\.\d+)?),(\d+(?:\.\d+)?)$/.exec(text);
  return parts === null ? undefined : [Number(parts[1]), Number(parts[2])];
}
