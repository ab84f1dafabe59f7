import { withoutInvisible } from '../core/notation/clay-name.ts';

/** Of the shapes in records/: raised when a kind, a field or a word of one gets another name. */
export const RECORD_VERSION = 2;

/**
 * Names that version 1 gave to kinds of records.
 * Holds: no name is one of today's, here and below, so an upgraded record upgrades to itself
 */
const KINDS_OF_1: Readonly<Record<string, string>> = {
  lot: 'purchase',
  movement: 'stock-entry',
  container: 'box',
  label: 'collection',
};

const IN_EVERY_RECORD: Readonly<Record<string, string>> = { binnedAt: 'deletedAt' };
const IN_EVERY_BODY: Readonly<Record<string, string>> = { labelIds: 'collectionIds' };

/** By today's kind: where a field is, the last name as version 1 had it, with the last name of today. */
const FIELDS_OF_1: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  line: { sort: 'clayType' },
  block: { sort: 'clayType' },
  powder: { sort: 'powderType' },
  purchase: { containerId: 'boxId', mark: 'lotNumber' },
  'stock-entry': { lotId: 'purchaseId' },
  tile: { lotIds: 'purchaseIds', containerId: 'boxId' },
  reading: { got: 'readingKind', overruled: 'override' },
  mix: { foretold: 'predicted' },
  'clay-model': { learntOn: 'learnedOn', learntFrom: 'learnedFrom', parents: 'clays' },
  figure: { 'batches.lotIds': 'purchaseIds', 'batches.spare.containerId': 'boxId' },
  settings: { signs: 'shortNames', 'shortNames.sign': 'shortName' },
};

/** By today's kind and path: words of version 1 with what they are today. */
const WORDS_OF_1: Readonly<
  Record<string, Readonly<Record<string, Readonly<Record<string, string>>>>>
> = {
  mix: { status: { trial: 'test', kept: 'saved' } },
  note: { 'of.kind': KINDS_OF_1 },
};

/**
 * A record as version 1 wrote it, with today's names and without invisible characters, which version 1 let
 * into names. What it says is left as it is, also where it does not fit: whoever reads it holds it to the
 * schema afterwards.
 * Holds: today's record comes back as it is
 */
export function upgradeRecord(record: unknown): unknown {
  if (!isObject(record)) return record;
  const kind = typeof record.kind === 'string' ? upgradedKind(record.kind) : undefined;
  return Object.fromEntries(
    Object.entries(record).map(([name, value]) => {
      if (name === 'kind' && kind !== undefined) return [name, kind];
      if (name === 'body' && kind !== undefined) return [name, upgraded(kind, value, '')];
      return [nameIn(IN_EVERY_RECORD, name), value];
    }),
  );
}

export function upgradedKind(kind: string): string {
  return nameIn(KINDS_OF_1, kind);
}

/** A field's path as tables name their columns, those of the record itself among them. */
export function upgradedPath(kind: string, path: string): string {
  if (Object.hasOwn(IN_EVERY_RECORD, path)) return nameIn(IN_EVERY_RECORD, path);
  const today = upgradedKind(kind);
  return path.split('.').reduce((above, name) => pathOf(today, above, name), '');
}

function upgraded(kind: string, value: unknown, path: string): unknown {
  if (Array.isArray(value)) return value.map((one) => upgraded(kind, one, path));
  if (typeof value === 'string') {
    return nameIn(WORDS_OF_1[kind]?.[path] ?? {}, withoutInvisible(value));
  }
  if (!isObject(value)) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => {
      const at = pathOf(kind, path, name);
      return [at.slice(path === '' ? 0 : path.length + 1), upgraded(kind, inner, at)];
    }),
  );
}

/** Path of today, of a field named by version 1 or today under a path of today. */
function pathOf(kind: string, above: string, name: string): string {
  const before = above === '' ? '' : `${above}.`;
  const everywhere = above === '' ? nameIn(IN_EVERY_BODY, name) : name;
  const here = FIELDS_OF_1[kind] ?? {};
  return `${before}${Object.hasOwn(here, `${before}${name}`) ? here[`${before}${name}`] : everywhere}`;
}

function nameIn(names: Readonly<Record<string, string>>, name: string): string {
  return (Object.hasOwn(names, name) ? names[name] : undefined) ?? name;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
