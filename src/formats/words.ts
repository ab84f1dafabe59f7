import { EFFECTS, type Effect } from '../core/clay/effect-offset.ts';
import { BASES, type Basis } from '../core/mixes/mix-graph.ts';
import {
  LIGHTS,
  type OBSERVERS,
  READING_DEFAULTS,
  READING_RANGE,
  type Reading,
  STATES,
} from '../domain/records/reading.ts';
import { KINDS, type ReadingKind } from '../domain/records/reading-kind.ts';
import { type DecimalMark, numberFrom } from './numbers.ts';

/** Reflectance of the two usual backings: ASTM D2805 white (0.80) and a printed black. */
const BACKING_WORDS: Readonly<Record<string, number>> = {
  white: READING_DEFAULTS.backing,
  black: 0.02,
};

const BASIS_WORDS: Readonly<Record<string, Basis>> = {
  ...Object.fromEntries(BASES.map((basis) => [basis, basis])),
  'by volume': 'volume',
  'by weight': 'weight',
  mass: 'weight',
};

const STATE_WORDS: Readonly<Record<string, Reading['state']>> = {
  ...Object.fromEntries(STATES.map((state) => [state, state])),
  unbaked: 'raw',
};

const KIND_WORDS: Readonly<Record<string, ReadingKind>> = {
  ...Object.fromEntries(KINDS.map((kind) => [kind, kind])),
  eye: 'by eye',
};

const EFFECT_WORDS: Readonly<Record<string, Effect>> = {
  ...Object.fromEntries(EFFECTS.map((effect) => [effect, effect])),
  pearlescent: 'pearl',
  metal: 'metallic',
  glittering: 'glitter',
  glowing: 'fluorescent',
};

const YES_NO_WORDS: Readonly<Record<string, boolean>> = { yes: true, no: false };

const LIGHT_WORDS: Readonly<Record<string, (typeof LIGHTS)[number]>> = {
  ...Object.fromEntries(LIGHTS.map((light) => [light.toLowerCase(), light])),
  f11: 'FL11',
  ledb3: 'LED-B3',
};

const OBSERVER_WORDS: Readonly<Record<string, (typeof OBSERVERS)[number]>> = {
  2: 2,
  10: 10,
  1931: 2,
  1964: 10,
};

/**
 * Notations of CIE 15:2018 section 5 and ISO 13655 for whether the gloss is measured, and the letters on
 * instruments. "d/8" alone says neither, so it is not in the list.
 */
const GEOMETRY_WORDS: Readonly<Record<string, Reading['geometry']>> = {
  ...words('included', ['included', 'include', 'sci', 'spin', 'rsin']),
  ...words('included', ['di:8', '8:di', 'di:0', '0:di', 'd:8i', 'd:8:i', '8:d:i']),
  ...words('excluded', ['excluded', 'exclude', 'sce', 'spex', 'rsex']),
  ...words('excluded', ['de:8', '8:de', 'de:0', '0:de', 'd:8e', 'd:8:e', '8:d:e']),
  ...words('excluded', ['45:0', '0:45', '45a:0', '0:45a', '45c:0', '0:45c', '45x:0', '0:45x']),
};

const SCALE_WORDS: Readonly<Record<string, 1 | 100>> = {
  '0-1': 1,
  '0to1': 1,
  1: 1,
  '0-100': 100,
  '0to100': 100,
  100: 100,
  '%': 100,
  percent: 100,
};

function words<T extends string>(meaning: T, list: readonly string[]): Record<string, T> {
  return Object.fromEntries(list.map((word) => [word, meaning]));
}

function lookUp<T>(table: Readonly<Record<string, T>>, word: string): T | undefined {
  return Object.hasOwn(table, word) ? table[word] : undefined;
}

export function basisFrom(text: string): Basis | undefined {
  return lookUp(BASIS_WORDS, text.toLowerCase());
}

export function stateFrom(text: string): Reading['state'] | undefined {
  return lookUp(STATE_WORDS, text.toLowerCase());
}

/** Whether a clay is translucent: yes or no. */
export function yesNoFrom(text: string): boolean | undefined {
  return lookUp(YES_NO_WORDS, text.toLowerCase());
}

/** Hyphens and underlines count as the space in `by eye`. */
export function kindFrom(text: string): ReadingKind | undefined {
  return lookUp(KIND_WORDS, text.toLowerCase().replace(/[\s_-]+/g, ' '));
}

export function effectFrom(text: string): Effect | undefined {
  return lookUp(EFFECT_WORDS, text.toLowerCase());
}

export function lightFrom(text: string): (typeof LIGHTS)[number] | undefined {
  return lookUp(LIGHT_WORDS, text.toLowerCase().replace(/\s+/g, ''));
}

export function observerFrom(text: string): (typeof OBSERVERS)[number] | undefined {
  const bare = text.toLowerCase().replace(/\s*(?:\u00b0|deg\.?|degrees?)$/, '');
  return lookUp(OBSERVER_WORDS, bare);
}

export function geometryFrom(text: string): Reading['geometry'] | undefined {
  const bare = text
    .toLowerCase()
    .replace(/[\s\u00b0*]+/g, '')
    .replace(/[/]/g, ':');
  return lookUp(GEOMETRY_WORDS, bare);
}

/** 0-1 or 0-100, in words too. */
export function scaleFrom(text: string): 1 | 100 | undefined {
  return lookUp(SCALE_WORDS, text.toLowerCase().replace(/\s+/g, ''));
}

/** White, black, a number 0-1, or a number with a per cent sign. */
export function backingFrom(text: string, decimal: DecimalMark): number | undefined {
  const word = lookUp(BACKING_WORDS, text.toLowerCase());
  if (word !== undefined) return word;
  const percent = text.endsWith('%');
  const number = numberFrom(percent ? text.slice(0, -1).trim() : text, decimal);
  if (number === undefined) return undefined;
  const value = percent ? number / 100 : number;
  const [low, high] = READING_RANGE.backing;
  return value >= low && value <= high ? value : undefined;
}
