import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/notation/nearest-name.ts';
import { clayKey, type Recipe } from '../core/notation/notation.ts';
import { vocabularyOf } from '../core/notation/shorthand-vocabulary.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { lineFor } from '../domain/changes/line-for.ts';
import { make } from '../domain/changes/steps.ts';
import { clayInWords } from '../domain/clay-in-words.ts';
import { namesTooAlike } from '../domain/names-too-alike.ts';
import type { BookStep } from '../domain/records/change.ts';
import { MOST_STEPS } from '../domain/records/change.ts';
import type { Reading } from '../domain/records/reading.ts';
import type { BodyOf } from '../domain/records/record.ts';
import { allAt, type BookService } from './book-service.ts';
import { whichOne } from './errors.ts';
import { wordsFrom } from './import-notes.ts';

export interface ReadingsCall {
  readonly readings: readonly Reading[];
  /** Clays the book does not know become blocks of this line, which is made where it is not there. */
  readonly newLine?: string;
  readonly newId: () => string;
}

export interface ReadingsImported {
  readonly readings: number;
  readonly tiles: number;
  readonly blocks: number;
  /** In the book already, word for word. */
  readonly same: number;
  /** Changes they went in; more than one where there were very many. */
  readonly changes: number;
  /** Questions about new names that look like another spelling of a clay. */
  readonly alike: readonly string[];
}

type Target = { readonly kind: 'block' | 'mix'; readonly id: string };
type Steps = BookStep[][];

/**
 * Keeps readings of a file: a tile for each sample, with its readings.
 * Refuses: a clay the book does not know, where no line is named for it -> clay-not-in-book (bad-input);
 *          what `changeBook` refuses
 * Holds:   `readingsOfBook` gives the same readings back, parts as shares; a file taken twice is kept
 *          once
 */
export async function importReadings(
  service: BookService,
  call: ReadingsCall,
): Promise<ReadingsImported> {
  const { readings, newId } = call;
  const clays = await claysOf(service, call);
  const known = await knownTiles(service);
  const groups: Steps = clays.steps.map((step) => [step]);
  const fresh = new Map<string, BookStep[]>();
  const counts = { readings: 0, tiles: 0, same: 0 };
  for (const reading of readings) {
    const of = targetOf(reading.of, clays.found);
    const key = tileKey(reading, of);
    const body = readingBody(reading, known.tiles.get(key)?.id ?? newId());
    const kept = known.tiles.get(key);
    if (kept !== undefined && known.readings.has(readingKey(body))) {
      counts.same++;
      continue;
    }
    let steps = fresh.get(key);
    if (steps === undefined) {
      steps = [];
      fresh.set(key, steps);
      if (kept === undefined) {
        counts.tiles++;
        known.tiles.set(key, { id: body.of.id });
        steps.push({ do: 'put', kind: 'tile', id: body.of.id, body: tileBody(reading, of) });
      }
    }
    counts.readings++;
    known.readings.add(readingKey(body));
    steps.push({ do: 'put', kind: 'reading', body });
  }
  groups.push(...fresh.values());
  const file = readings[0]?.place.file ?? 'a file';
  let changes = 0;
  for (const steps of packed(groups)) {
    await service.change({ what: `Imported readings from ${file}`.slice(0, 300), steps });
    changes++;
  }
  return { ...counts, blocks: clays.blocks, changes, alike: clays.alike };
}

/** Whole groups together, as many as one change may hold. */
function packed(groups: Steps): Steps {
  const changes: Steps = [];
  for (const group of groups) {
    const last = changes.at(-1);
    if (last === undefined || last.length + group.length > MOST_STEPS) changes.push([...group]);
    else last.push(...group);
  }
  return changes;
}

/** What each name in the recipes stands for, and steps that make what is new. */
async function claysOf(service: BookService, { readings, newLine, newId }: ReadingsCall) {
  const { words, kindOf } = await wordsFrom(service);
  const vocabulary = vocabularyOf(words);
  const found = new Map<string, Target>();
  const unknown = new Map<string, string>();
  for (const { of } of readings) {
    for (const { clay: name } of of) {
      const key = clayKey(name);
      if (found.has(key) || unknown.has(key)) continue;
      const meant = clayInWords(name, vocabulary);
      if (meant.status === 'which-one') throw whichOne(meant.says, meant.ids);
      if (meant.status !== 'found') unknown.set(key, name);
      else {
        const kind = kindOf.get(meant.id) === 'block' ? 'block' : 'mix';
        found.set(key, { kind, id: meant.id });
      }
    }
  }
  const effects = new Map(
    readings.flatMap(({ of, effect }) =>
      effect === undefined ? [] : [[clayKey(of[0].clay), effect] as const],
    ),
  );
  const translucent = new Set(
    readings.flatMap(({ of, translucent: is }) =>
      is === true && of.length === 1 ? [clayKey(of[0].clay)] : [],
    ),
  );
  if (unknown.size === 0) return { found, steps: [], blocks: 0, alike: [] };
  if (newLine === undefined) {
    throw notKnown(
      [...unknown.values()],
      (words.names ?? []).map(({ word }) => word),
    );
  }
  const { id: lineId, steps: lineSteps } = lineFor(newLine, await allAt(service, 'line'), newId);
  const steps = [...lineSteps];
  for (const [key, name] of unknown) {
    const id = newId();
    found.set(key, { kind: 'block', id });
    const clayType = effects.get(key) ?? (translucent.has(key) ? 'translucent' : 'opaque');
    steps.push(make('block', { lineId, name, clayType, status: 'current' }, id));
  }
  const names = [...(words.names ?? []).map(({ word }) => word), ...unknown.values()];
  const alike = [...unknown.values()].flatMap((name) => {
    const twin = names.find((other) => namesTooAlike(name, other));
    return twin === undefined
      ? []
      : [`Is "${name}" the same clay as "${twin}"? If so, undo the import and write one name.`];
  });
  return { found, steps, blocks: unknown.size, alike };
}

async function knownTiles(service: BookService) {
  const tiles = new Map<string, { readonly id: string }>();
  for (const { id, body } of await allAt(service, 'tile')) {
    const of = 'parts' in body.of ? body.of.parts : [{ of: body.of, parts: 1 }];
    for (const name of [body.code, body.name]) {
      if (name !== undefined) tiles.set(keyOf(name, of, body), { id });
    }
  }
  const readings = new Set((await allAt(service, 'reading')).map(({ body }) => readingKey(body)));
  return { tiles, readings };
}

type Parts = readonly { readonly of: Target; readonly parts: number }[];

function targetOf(recipe: Recipe, found: ReadonlyMap<string, Target>): Parts {
  return recipe.map(({ clay, parts }) => ({ of: found.get(clayKey(clay))!, parts }));
}

function tileKey({ tile, thicknessMm, backing, basis }: Reading, of: Parts): string {
  return keyOf(tile, of, { thicknessMm, backing, basis });
}

function keyOf(
  name: string,
  of: Parts,
  {
    thicknessMm,
    backing,
    basis,
  }: { thicknessMm?: number | undefined; backing?: number | undefined; basis: string },
): string {
  const parts =
    of.length === 1 ? [[of[0].of.id, 1]] : of.map((part) => [part.of.id, part.parts]).sort();
  // A block alone counts nothing, so its basis says nothing.
  return canonicalJson([clayKey(name), parts, thicknessMm, backing, of.length > 1 ? basis : '']);
}

function tileBody(reading: Reading, of: Parts): BodyOf<'tile'> {
  const { tile, basis, state, thicknessMm, backing, partsSpread } = reading;
  return {
    name: tile,
    of: of.length === 1 ? of[0].of : { parts: of },
    basis,
    state,
    bakes: [],
    ...(thicknessMm === undefined ? {} : { thicknessMm }),
    ...(backing === undefined ? {} : { backing }),
    partsSpread,
  };
}

function readingBody(reading: Reading, tileId: string): BodyOf<'reading'> & { of: { id: string } } {
  const { kind, state, lab, spectrum, spread, geometry, effect, photo, checked, place } = reading;
  return {
    of: { kind: 'tile', id: tileId },
    readingKind: kind,
    state,
    ...(lab === undefined ? {} : { lab }),
    ...(spectrum === undefined ? {} : { spectrum }),
    spread,
    geometry,
    ...(effect === undefined ? {} : { effect }),
    ...(photo === undefined ? {} : { source: photo.slice(0, 200) }),
    ...(checked === undefined ? {} : { checked }),
    place: { file: place.file.slice(0, 1000), line: place.line },
  };
}

/** A reading is the same where its tile, its numbers and how it was got are. */
function readingKey(body: BodyOf<'reading'>): string {
  const { of, readingKind, state, lab, spectrum, spread, geometry, source } = body;
  return canonicalJson([
    of.id,
    readingKind,
    state,
    lab,
    spectrum,
    spread,
    geometry,
    source,
    body.place?.line,
  ]);
}

function notKnown(names: readonly string[], known: readonly string[]): AppError {
  const [near] = nearestNames(names[0], known);
  const some = names.slice(0, 8).join(', ');
  const more = names.length > 8 ? ` and ${names.length - 8} more` : '';
  return new AppError({
    code: 'clay-not-in-book',
    kind: 'bad-input',
    detail: `The book has no block or mix named ${some}${more}.`,
    hint: `${near === undefined ? '' : `Did you mean ${near}? `}Nothing was imported. Say which clay line the new clays are of (in the terminal: --line NAME), and they become blocks of that line.`,
    more: { names },
  });
}
