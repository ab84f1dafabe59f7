import { colourName } from '../core/colour/colour-name.ts';
import type { Lab } from '../core/colour/triples.ts';
import { clayKey } from '../core/notation/clay-name.ts';
import { codeKey } from '../core/notation/codes.ts';
import { type Link, linksOf } from './links.ts';
import { labOfReading } from './records/lab-of-reading.ts';
import type { BookKind, BookRecord } from './records/record.ts';
import { statusOfReading } from './records/shown-colour.ts';

/** Raised when anything here gives a different result than before; the index of a book is then rebuilt at start. */
export const INDEX_FIELDS_VERSION = 2;

/** What search, lists and checks need of a record, derived from it alone. */
export interface IndexFields {
  /** The code it holds among its like; no two live records hold one. */
  readonly code?: { readonly space: CodeSpace; readonly key: string };
  readonly sortName: string;
  readonly sortCode: string;
  readonly status?: string;
  /** Folded, as `foldedText` does. */
  readonly tags: readonly string[];
  /** Folded words it can be found by, one space between, one before and after. */
  readonly words: string;
  /** Its own colour, D50, 2 degrees. */
  readonly lab?: Lab;
  readonly links: readonly Link[];
}

/** Codes are unique among records of one kind; a tile may bear the code of its mix. */
export type CodeSpace = 'block' | 'powder' | 'tile' | 'mix' | 'figure';

/** Text to find by: no case, no accents, all but letters and digits as spaces. */
export function foldedText(text: string): string {
  return clayKey(text)
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** A key that sorts as people count: K2 before K10. Digits in a row are led by how many they are. */
export function naturalKey(text: string): string {
  return foldedText(text).replace(/\d+/g, (digits) => {
    const plain = digits.replace(/^0+(?=\d)/, '');
    return `${String(plain.length).padStart(2, '0')}${plain}`;
  });
}

export function indexFieldsOf(record: BookRecord): IndexFields {
  const { name, code, tags, status, more } = namesOf(record);
  const lab = labOf(record);
  const words = [name, code, ...tags, ...more, lab === undefined ? undefined : colourName(lab).name]
    .filter((text) => text !== undefined)
    .map(foldedText);
  return {
    ...(code === undefined || !isCodeSpace(record.kind)
      ? {}
      : { code: { space: record.kind, key: codeKey(code) } }),
    sortName: naturalKey(name ?? code ?? ''),
    sortCode: naturalKey(code ?? name ?? ''),
    ...(status === undefined ? {} : { status }),
    tags: [...new Set(tags.map(foldedText))],
    words: ` ${[...new Set(words)].join(' ')} `,
    ...(lab === undefined ? {} : { lab }),
    links: linksOf(record),
  };
}

/** How a record is spoken of to people: its code, its name, or what it is. */
export function titleOf(record: BookRecord): string {
  const { name, code } = namesOf(record);
  const called = [code, name].filter((text) => text !== undefined).join(' ');
  return called === '' ? KIND_WORDS[record.kind] : `${KIND_WORDS[record.kind]} ${called}`;
}

const KIND_WORDS: Readonly<Record<BookKind, string>> = {
  line: 'the line',
  block: 'the block',
  purchase: 'the purchase',
  'stock-entry': 'a stock entry',
  powder: 'the powder',
  wish: 'the wish',
  box: 'the box',
  tile: 'the tile',
  reading: 'a reading',
  photo: 'the photo',
  mix: 'the mix',
  palette: 'the palette',
  'clay-model': 'the clay model',
  note: 'a note',
  figure: 'the figure',
  'bend-test': 'a bend test',
  'oven-check': 'the oven check',
  collection: 'the collection',
  settings: 'the settings',
};

function isCodeSpace(kind: BookKind): kind is CodeSpace {
  return ['block', 'powder', 'tile', 'mix', 'figure'].includes(kind);
}

interface Names {
  readonly name?: string | undefined;
  readonly code?: string | undefined;
  readonly tags: readonly string[];
  readonly status?: string | undefined;
  /** Other words to find it by. */
  readonly more: readonly (string | undefined)[];
}

function namesOf(record: BookRecord): Names {
  const { body } = record;
  const plain: Names = {
    name: 'name' in body ? body.name : undefined,
    code: 'code' in body ? body.code : undefined,
    tags: 'tags' in body ? (body.tags ?? []) : [],
    status: 'status' in body ? body.status : undefined,
    more: 'note' in body ? [body.note] : [],
  };
  switch (record.kind) {
    case 'block':
    case 'line':
      return { ...plain, more: [...plain.more, record.body.clayType] };
    case 'powder':
      return { ...plain, more: [...plain.more, record.body.powderType] };
    case 'wish':
      return { ...plain, more: [...plain.more, record.body.why] };
    case 'purchase':
      return { ...plain, name: record.body.lotNumber };
    case 'box':
      return { ...plain, name: record.body.lid, more: [...plain.more, record.body.place] };
    case 'stock-entry':
      return { ...plain, status: record.body.why };
    case 'photo':
      return { ...plain, name: record.body.name ?? record.body.fileName };
    case 'tile':
      return { ...plain, status: record.body.state };
    case 'reading':
      return { ...plain, status: statusOfReading(record.body) };
    case 'palette':
      return { ...plain, more: [...plain.more, ...record.body.aims.map(({ name }) => name)] };
    case 'note':
      return { ...plain, more: [...record.body.feels, record.body.text] };
    case 'figure':
      return { ...plain, more: [...plain.more, record.body.holder] };
    case 'bend-test':
      return {
        ...plain,
        name: record.body.set,
        status: record.body.result ?? 'to do',
        more: [...plain.more, record.body.bakeName],
      };
    case 'settings':
      return { tags: [], more: [] };
    default:
      return plain;
  }
}

function labOf(record: BookRecord): Lab | undefined {
  if (record.kind === 'mix') return record.body.predicted?.lab;
  return record.kind === 'reading' ? labOfReading(record.body) : undefined;
}
