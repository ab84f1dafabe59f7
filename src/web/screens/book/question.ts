import type { ApiInput } from '../../../api/routes.ts';
import { COLOUR_FAMILIES, type ColourFamily } from '../../../core/colour/colour-families.ts';
import { inARow } from '../../../core/in-a-row.ts';
import type { MixFilter } from '../../../domain/records/mix-filters.ts';
import { labFromAddress } from '../../colour/lab-in-address.ts';

/** The question to the mix book, in the address so that Back and reload keep it. */
export interface BookQuestion {
  readonly find?: string;
  readonly sort?: 'changed' | 'code' | 'name' | 'near';
  readonly as?: 'table';
  readonly line?: string;
  readonly clay?: string;
  readonly colour?: ColourFamily;
  /** L_a_b, D50, 2 degrees. */
  readonly near?: string;
  /** How close, dE00. */
  readonly within?: number;
  readonly box?: string;
  readonly grams?: number;
  readonly tile?: 'with' | 'without';
  readonly tag?: string;
}

/** The filters, in the order they are shown. */
export const NARROWED_BY = [
  'colour',
  'near',
  'line',
  'clay',
  'box',
  'tile',
  'tag',
  'grams',
] as const satisfies readonly (keyof BookQuestion)[];
export type NarrowedBy = (typeof NARROWED_BY)[number];

/** Words of the address by the filters of the API. */
export const WORD_OF: Readonly<Record<MixFilter, NarrowedBy | 'find'>> = {
  text: 'find',
  colour: 'colour',
  near: 'near',
  line: 'line',
  block: 'clay',
  box: 'box',
  tile: 'tile',
  tag: 'tag',
  stockG: 'grams',
};

/** The question in an address; parameters that do not fit are left out. */
export function questionFrom(said: Readonly<Record<string, unknown>>): BookQuestion {
  const text = (word: string) => {
    const value = said[word];
    const plain = typeof value === 'number' ? String(value) : value;
    return typeof plain === 'string' && plain.trim() !== '' ? { [word]: plain } : {};
  };
  const one = (word: string, of: readonly string[]) => {
    const value = said[word];
    return typeof value === 'string' && of.includes(value) ? { [word]: value } : {};
  };
  const number = (word: string, low: number, high: number) => {
    const value = Number(said[word]);
    return said[word] !== undefined && value >= low && value <= high ? { [word]: value } : {};
  };
  return {
    ...text('find'),
    ...one('sort', ['changed', 'code', 'name', 'near']),
    ...one('as', ['table']),
    ...text('line'),
    ...text('clay'),
    ...one('colour', COLOUR_FAMILIES),
    ...(typeof said.near === 'string' && labFromAddress(said.near) !== undefined
      ? { near: said.near }
      : {}),
    ...number('within', 0, 10),
    ...text('box'),
    ...number('grams', 0.01, 1e6),
    ...one('tile', ['with', 'without']),
    ...text('tag'),
  };
}

/** How close by default: the same family, dE00 (core/verdict/verdict.ts). */
export const USUALLY_WITHIN = 7;

/** The question as sent to the book. `#weeds` in the text means the whole tag. */
export function listQueryOf(
  question: BookQuestion,
): Omit<ApiInput<'mixList'>['query'] & object, 'from'> {
  const { find = '', line, clay, colour, near, within, box, grams, tile } = question;
  const said = find.trim();
  const tag = question.tag ?? (said.startsWith('#') ? said.slice(1).trim() : '');
  const text = said.startsWith('#') ? '' : said;
  const order = sortOf(question);
  const lab = labFromAddress(near);
  return {
    sort: order,
    ...(order === 'changed' ? { descending: 'true' as const } : {}),
    ...(text === '' ? {} : { text }),
    ...(tag === '' ? {} : { tag }),
    ...(line === undefined ? {} : { line }),
    ...(clay === undefined ? {} : { block: clay }),
    ...(colour === undefined ? {} : { colour }),
    ...(lab === undefined
      ? {}
      : { l: lab[0], a: lab[1], b: lab[2], within: within ?? USUALLY_WITHIN }),
    ...(box === undefined ? {} : { box }),
    ...(grams === undefined ? {} : { stockG: grams }),
    ...(tile === undefined ? {} : { tile }),
  };
}

/** The closest first, where a colour is given and no order. */
export function sortOf({ sort, near }: BookQuestion): NonNullable<BookQuestion['sort']> {
  if (near === undefined) return sort === 'near' || sort === undefined ? 'changed' : sort;
  return sort ?? 'near';
}

export function isNarrowed(question: BookQuestion): boolean {
  return NARROWED_BY.some((by) => question[by] !== undefined);
}

export interface QuestionNames {
  readonly line: (id: string) => string;
  readonly clay: (id: string) => string;
  readonly box: (id: string) => string;
  readonly near: (near: string) => string;
  readonly grams: (grams: number) => string;
}

const FAMILY_WORDS: Readonly<Record<ColourFamily, string>> = {
  pink: 'Pinks',
  red: 'Reds',
  orange: 'Oranges',
  brown: 'Browns',
  yellow: 'Yellows',
  olive: 'Olives',
  green: 'Greens',
  blue: 'Blues',
  violet: 'Violets',
  purple: 'Purples',
  white: 'Whites',
  gray: 'Greys',
  black: 'Blacks',
};
export const familyInWords = (family: ColourFamily) => FAMILY_WORDS[family];

/** One filter in words. */
export function filterInWords(
  by: NarrowedBy | 'find',
  question: BookQuestion,
  names: QuestionNames,
): string {
  const { find, colour, near, line, clay, box, tile, tag, grams } = question;
  switch (by) {
    case 'find':
      return `“${find ?? ''}”`;
    case 'colour':
      return familyInWords(colour!);
    case 'near':
      return `close to ${names.near(near!)}`;
    case 'line':
      return names.line(line!);
    case 'clay':
      return names.clay(clay!);
    case 'box':
      return `in ${names.box(box!)}`;
    case 'tile':
      return `${tile} a tile`;
    case 'tag':
      return `#${tag}`;
    case 'grams':
      return `enough stock for ${names.grams(grams!)}`;
  }
}

/** The question as one phrase: `Greens with Saltmarsh in them with enough stock for 40 g`. */
export function questionInWords(question: BookQuestion, names: QuestionNames): string {
  const { find = '', colour, near, line, clay, box, tile, tag, grams } = question;
  const clays = [
    ...(line === undefined ? [] : [names.line(line)]),
    ...(clay === undefined ? [] : [names.clay(clay)]),
  ];
  return [
    colour === undefined ? 'Mixes' : familyInWords(colour),
    near === undefined ? '' : `close to ${names.near(near)}`,
    clays.length === 0 ? '' : `with ${inARow(clays)} in them`,
    box === undefined ? '' : `in ${names.box(box)}`,
    tile === undefined ? '' : `${tile} a tile`,
    tag === undefined ? '' : `tagged #${tag}`,
    grams === undefined ? '' : `with enough stock for ${names.grams(grams)}`,
    find.trim() === '' ? '' : `for “${find.trim()}”`,
  ]
    .filter((words) => words !== '')
    .join(' ');
}
