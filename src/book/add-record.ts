import { colourName } from '../core/colour/colour-name.ts';
import { HOUSE_VIEWING } from '../core/colour/house-viewing.ts';
import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { parseRecipe } from '../core/notation/notation.ts';
import { changeSettingsStep } from '../domain/changes/change-settings.ts';
import { makeUnchecked } from '../domain/changes/steps.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { BookStep } from '../domain/records/change.ts';
import { type BodyField, bodyFrom, fieldsOf } from '../domain/records/fields.ts';
import { READING_DEFAULTS } from '../domain/records/reading.ts';
import type { BookKind, BookRecord, RecordOf } from '../domain/records/record.ts';
import { SETTINGS_ID } from '../domain/records/settings-id.ts';
import { readAim } from '../verbs/aim.ts';
import type { Changed } from './book.ts';
import type { BookService } from './book-service.ts';
import { findRecord } from './find-record.ts';

export interface AddCall {
  readonly kind: BookKind;
  /** Fields as the user writes them: `name` `Kelp`, `line` `Saltmarsh`, `price.minor` `250`. */
  readonly fields: readonly (readonly [field: string, written: string])[];
  /** The day where the user is, YYYY-MM-DD; a stock entry gets this date. */
  readonly today: string;
}

/** Values of the fields that the user left out. */
const LEFT_OUT: Readonly<Partial<Record<BookKind, Readonly<Record<string, unknown>>>>> = {
  line: { status: 'current' },
  block: { clayType: 'opaque', status: 'current' },
  purchase: { reformulated: false },
  'stock-entry': { why: 'bought' },
  powder: { powderType: 'powder', status: 'current' },
  box: { holds: [] },
  tile: { basis: 'volume', state: 'baked', bakes: [] },
  reading: { readingKind: 'measured', state: 'baked', spread: 0.5 },
  mix: { basis: 'volume', status: 'saved' },
  palette: { aims: [] },
  note: { feels: [], done: [] },
  figure: { batches: [], bakes: [] },
  'bend-test': { strongShare: 1 },
};

/**
 * Keeps a record from fields in words; what it names is found by code or name. Settings are one record,
 * of which only the fields given change.
 * Refuses: a field the kind does not have, one that cannot be read -> field-unreadable (bad-input); what
 *          `findRecord` and `changeBook` refuse
 */
export async function addRecord(service: BookService, call: AddCall): Promise<Changed> {
  const { kind, today } = call;
  const known = new Map(fieldsOf(kind).map((field) => [field.path, field]));
  const values = new Map<string, unknown>();
  for (const [path, value] of Object.entries(LEFT_OUT[kind] ?? {})) values.set(path, value);
  if (kind === 'stock-entry' || kind === 'oven-check') values.set('on', today);
  for (const [name, written] of call.fields) {
    for (const [path, value] of await valuesOf(service, kind, known, name, written)) {
      values.set(path, value);
    }
  }
  if (kind === 'reading' && !values.has('geometry')) {
    const isMeasured = values.get('readingKind') === 'measured';
    const { geometryOfLab, geometryOfEye } = READING_DEFAULTS;
    values.set('geometry', isMeasured ? geometryOfLab : geometryOfEye);
  }
  if (kind === 'wish' && !values.has('name') && values.has('lab')) {
    values.set('name', colourName(values.get('lab') as Lab).name);
  }
  const step =
    kind === 'settings'
      ? await settingsStep(service, values)
      : makeUnchecked(kind, bodyFrom(values));
  return service.change({ what: whatOf(step, kind), steps: [step] });
}

export interface ChangeCall {
  readonly record: BookRecord;
  /** As for adding; an empty value takes the field away. */
  readonly fields: AddCall['fields'];
}

/**
 * Gives some fields of a record another value, in words; the others stay.
 * Refuses: as `addRecord`; a record that somebody changed in between -> as `changeBook`
 */
export async function changeRecord(
  service: BookService,
  { record, fields }: ChangeCall,
): Promise<Changed> {
  const { kind, id, version } = record;
  const known = new Map(fieldsOf(kind).map((field) => [field.path, field]));
  const values = new Map<string, unknown>();
  const gone = new Set<string>();
  for (const [name, written] of fields) {
    if (written.trim() === '' && known.has(name)) gone.add(name);
    else {
      for (const [path, value] of await valuesOf(service, kind, known, name, written)) {
        values.set(path, value);
      }
    }
  }
  const body = { ...record.body, ...withOthers(record.body, bodyFrom(values)) };
  const left = Object.fromEntries(Object.entries(body).filter(([name]) => !gone.has(name)));
  return service.change({
    what: `Changed ${titleOf(record)}`.slice(0, 300),
    steps: [{ do: 'put', kind, id, version, body: left } as unknown as BookStep],
  });
}

/** Groups of fields with the members nobody changed; what a record is of changes as a whole. */
function withOthers(before: object, changed: object): Record<string, unknown> {
  const isGroup = (value: unknown): value is object =>
    typeof value === 'object' && value !== null && !Array.isArray(value);
  return Object.fromEntries(
    Object.entries(changed).map(([name, value]) => {
      const old: unknown = (before as Record<string, unknown>)[name];
      const merges = name !== 'of' && isGroup(value) && isGroup(old);
      return [name, merges ? { ...old, ...value } : value];
    }),
  );
}

async function settingsStep(
  service: BookService,
  values: ReadonlyMap<string, unknown>,
): Promise<BookStep> {
  const before = (await service.get(SETTINGS_ID)) as RecordOf<'settings'> | undefined;
  return changeSettingsStep(before, bodyFrom(values));
}

function whatOf(step: BookStep, kind: BookKind): string {
  if (kind === 'settings') return 'Changed the settings';
  const title = titleOf({ kind, body: (step as { body: object }).body } as unknown as BookRecord);
  return `Saved ${title}`.slice(0, 300);
}

/** Turns one field the user wrote into the fields of the body it stands for. */
async function valuesOf(
  service: BookService,
  kind: BookKind,
  known: ReadonlyMap<string, BodyField>,
  name: string,
  written: string,
): Promise<readonly (readonly [string, unknown])[]> {
  if (kind === 'tile' && name === 'of') {
    const parts = await partsIn(service, written);
    if (parts !== undefined) return [['of', { parts }]];
  }
  // A reference in words: what `of` names is found, of whatever kind it may be.
  if (known.has(`${name}.id`) && known.has(`${name}.kind`)) {
    const kinds = known.get(`${name}.kind`)?.words as BookKind[] | undefined;
    const found = await findRecord(service, written, kinds);
    return [
      [`${name}.kind`, found.kind],
      [`${name}.id`, found.id],
    ];
  }
  const field = known.get(name) ?? known.get(`${name}Id`);
  if (field === undefined) throw noField(kind, name, [...known.keys()]);
  if (field.path.endsWith('Id')) {
    const found = await findRecord(service, written, kindsNamed(field.path));
    return [[field.path, found.id]];
  }
  if (field.path === 'lab') return [[field.path, readAim(written, HOUSE_VIEWING).lab]];
  if (field.path === 'lab.values') {
    const lab = written.split(/\s*[,;]\s*|\s+/).map(Number);
    return [
      [field.path, lab],
      ['lab.light', HOUSE_VIEWING.light],
      ['lab.observer', HOUSE_VIEWING.observer],
    ];
  }
  return [[field.path, plainValue(kind, field, written)]];
}

/** A recipe in words, as in "3 Kelp + 1 Foam", with its clays found; undefined for a single name. */
async function partsIn(service: BookService, written: string) {
  if (!written.includes('+')) return undefined;
  return Promise.all(
    parseRecipe(written).map(async ({ clay, parts }) => {
      const { kind, id } = await findRecord(service, clay, ['block', 'mix']);
      return { of: { kind, id }, parts };
    }),
  );
}

const ID_KINDS: Readonly<Record<string, BookKind>> = {
  lineId: 'line',
  strongLineId: 'line',
  otherLineId: 'line',
  mixId: 'mix',
  purchaseId: 'purchase',
  boxId: 'box',
  photoId: 'photo',
  paletteId: 'palette',
  cameFromId: 'mix',
  clayModelId: 'clay-model',
  blockId: 'block',
};

function kindsNamed(path: string): readonly BookKind[] | undefined {
  const kind = ID_KINDS[path.split('.').at(-1)!];
  return kind === undefined ? undefined : [kind];
}

function plainValue(kind: BookKind, field: BodyField, written: string): unknown {
  const { path, as, words } = field;
  if (as === 'text') {
    if (words === undefined || words.includes(written)) return written;
    throw unreadable(kind, path, written, `one of ${words.join(', ')}`);
  }
  if (/^(?:tags|feels)$/.test(path) && !written.trimStart().startsWith('[')) {
    return written
      .split(',')
      .map((word) => word.trim())
      .filter((word) => word !== '');
  }
  try {
    return JSON.parse(/^[+-]?\d+,\d+$/.test(written) ? written.replace(',', '.') : written);
  } catch {
    throw unreadable(
      kind,
      path,
      written,
      kind === 'mix' && path === 'parts'
        ? 'a list as JSON; in words a mix is written whole, like add "K7 sea moss: 3 Kelp + 1 Foam"'
        : 'a number, yes or no as true or false, or a list as JSON',
    );
  }
}

function noField(kind: BookKind, name: string, known: readonly string[]): AppError {
  const [near] = nearestNames(name, known);
  return new AppError({
    code: 'field-unreadable',
    kind: 'bad-input',
    detail: `A ${kind} has no field "${name.slice(0, 40)}".`,
    hint: near === undefined ? `It has these: ${known.join(', ')}.` : `Did you mean ${near}?`,
  });
}

function unreadable(kind: BookKind, path: string, written: string, wanted: string): AppError {
  return new AppError({
    code: 'field-unreadable',
    kind: 'bad-input',
    detail: `The ${path} of the ${kind} is "${written.slice(0, 80)}".`,
    hint: `It is ${wanted}.`,
  });
}
