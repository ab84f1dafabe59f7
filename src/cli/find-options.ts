import type { Viewing } from '../core/colour/adaptation.ts';
import { FIND_LIMITS, GIVE_UP } from '../core/find/find-plan.ts';
import type { RulesInWords, ShareInWords } from '../core/find/rules-in-words.ts';
import type { FindCall } from '../verbs/find.ts';
import { type Aim, aimFrom } from './aim.ts';
import {
  basisOf,
  type Given,
  lightOf,
  namesOf,
  neededValue,
  numberOf,
  type OptionKind,
  oneValue,
  unreadableCall,
  viewingOf,
} from './options.ts';

/** Options of `kneadwell find` beside those of every verb. */
export const FIND_OPTIONS = {
  aim: 'value',
  tolerance: 'value',
  clays: 'value',
  parts: 'value',
  top: 'value',
  only: 'values',
  without: 'values',
  must: 'values',
  lines: 'values',
  'most-lines': 'value',
  'at-least': 'values',
  'at-most': 'values',
  'half-part': 'value',
  stock: 'value',
  batch: 'value',
  lights: 'values',
  'give-up': 'value',
  exhaustive: 'switch',
  seconds: 'value',
} as const satisfies Record<string, OptionKind>;

/** The words of `kneadwell find` as a call. */
export function findCallOf(given: Given, clay: string): { call: FindCall; aim: Aim } {
  const viewing = viewingOf(given, 'find');
  const aim = aimFrom(neededValue(given, 'aim', '--aim 60,-20,20', 'find'), viewing);
  const basis = basisOf(given, 'find');
  const whole = (name: 'clays' | 'parts' | 'top', fallback: number) =>
    numberOf(given, name, fallback, FIND_LIMITS[name], 'find', true);
  const lights = otherLightsOf(given, viewing);
  const stockFile = oneValue(given, 'stock');
  const giveUp = giveUpOf(oneValue(given, 'give-up'));
  const call: FindCall = {
    clay,
    aim: aim.lab,
    viewing,
    tolerance: numberOf(given, 'tolerance', 1.8, FIND_LIMITS.tolerance, 'find'),
    mostClays: whole('clays', 4),
    parts: whole('parts', 12),
    top: whole('top', 10),
    rules: rulesOf(given),
    ...(lights.length > 0 ? { otherViewings: lights } : {}),
    ...(stockFile === undefined ? {} : { stockFile }),
    ...(giveUp === undefined ? {} : { giveUp }),
    ...(given.switches.has('exhaustive') ? { exhaustive: true } : {}),
    ...(given.values.has('seconds')
      ? { mostSeconds: numberOf(given, 'seconds', 0, FIND_LIMITS.seconds, 'find') }
      : {}),
    ...(basis === undefined ? {} : { basis }),
  };
  return { call, aim };
}

/** Lights beside the one the aim is seen under, each once. */
function otherLightsOf(given: Given, { light, observer }: Viewing): readonly Viewing[] {
  const texts = given.values.get('lights');
  if (texts === undefined) return [];
  const names = namesOf(texts);
  if (names.length === 0) throw unreadableCall('--lights names no light.', 'find');
  const named = new Set(names.map((name) => lightOf(name, 'lights', 'find')));
  named.delete(light);
  return [...named].map((other) => ({ light: other, observer }));
}

function rulesOf(given: Given): RulesInWords {
  const names = (option: 'only' | 'without' | 'must' | 'lines') => {
    const texts = given.values.get(option);
    if (texts === undefined) return {};
    const list = namesOf(texts);
    if (list.length > 0) return { [option]: list };
    throw unreadableCall(`--${option} names no ${option === 'lines' ? 'line' : 'clay'}.`, 'find');
  };
  const number = (
    option: 'most-lines' | 'half-part' | 'batch',
    key: keyof RulesInWords,
    isWhole = false,
  ) =>
    given.values.has(option)
      ? { [key]: numberOf(given, option, 0, FIND_LIMITS[option], 'find', isWhole) }
      : {};
  const shares = (option: 'at-least' | 'at-most', key: 'atLeast' | 'atMost') => {
    const texts = given.values.get(option);
    return texts === undefined ? {} : { [key]: texts.map((text) => shareOf(text, option)) };
  };
  return {
    ...names('only'),
    ...names('without'),
    ...names('must'),
    ...names('lines'),
    ...number('most-lines', 'mostLines', true),
    ...shares('at-least', 'atLeast'),
    ...shares('at-most', 'atMost'),
    ...number('half-part', 'halfPart'),
    ...number('batch', 'batchG'),
  };
}

/** "50 % Saltmarsh" or "Saltmarsh 50%". */
function shareOf(text: string, option: string): ShareInWords {
  const match =
    /^\s*(\d+(?:[.,]\d+)?)\s*%\s*(?:of\s+)?(.+?)\s*$/i.exec(text) ??
    /^\s*(.+?)\s+(\d+(?:[.,]\d+)?)\s*%\s*$/.exec(text);
  if (match !== null) {
    const [first, second] = [match[1], match[2]];
    const [number, of] =
      /^\d/.test(first) && !/^\d+(?:[.,]\d+)?$/.test(second) ? [first, second] : [second, first];
    const share = Number(number.replace(',', '.')) / 100;
    if (share >= 0 && share <= 1) return { of: of.replace(/^"(.*)"$/s, '$1'), share };
  }
  throw unreadableCall(
    `--${option} is "${text.slice(0, 60)}"; it is a share and what of, like "50 % Saltmarsh".`,
    'find',
  );
}

function giveUpOf(text: string | undefined) {
  if (text === undefined) return undefined;
  const found = GIVE_UP.find((name) => name === text.trim().toLowerCase());
  if (found !== undefined) return found;
  throw unreadableCall(
    `--give-up is "${text.slice(0, 40)}"; it is lightness, chroma or hue.`,
    'find',
  );
}
