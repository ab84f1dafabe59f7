import { codeKey } from '../../core/notation/codes.ts';
import { clayKey } from '../../core/notation/notation.ts';
import type { BookStep } from '../../domain/records/change.ts';
import type { BodyOf } from '../../domain/records/record.ts';
import { change, make } from '../book/change.ts';
import { asRead } from './as-read.ts';
import type { Parts, Target } from './match-code.ts';
import type { PhotoRow, TileShot } from './photo-rows.ts';
import type { State } from './photo-session-store.ts';

/** A tile to be taken into the book. */
export interface ImportedRow {
  readonly row: PhotoRow;
  readonly state: State;
  readonly target: Target;
}

export interface AcceptAsk {
  readonly rows: readonly ImportedRow[];
  /** Of the photo's record, by its draft. */
  readonly photoIds: ReadonlyMap<string, string>;
  readonly line: { readonly id: string; readonly name: string; readonly isNew: boolean };
  readonly newId: (kind: string) => string;
  readonly now: string;
}

/**
 * The records that photos leave in the book: what is new of lines, blocks and tiles, and a reading for
 * every photo a tile was well seen in, so that readings of one photo share its error.
 * Holds:   a clay comes before what is mixed of it; a tile that two rows name is made once, as is one that
 *          lies raw and baked side by side; a raw tile that was read baked is baked from now on
 */
export function acceptSteps(ask: AcceptAsk): BookStep[] {
  const { rows, line, newId } = ask;
  const steps: BookStep[] = [];
  const clays = newClays();
  const made = new Map<string, string>();
  const baked = new Set<string>();
  const keys = tileKeys(rows);
  for (const [i, taken] of rows.entries()) {
    const tileId = tileFor(taken, keys[i]);
    if (tileId === undefined) continue;
    for (const shot of taken.row.counted) {
      steps.push(make('reading', readingOf(taken, shot, tileId, ask)));
    }
  }
  return steps;

  function newClays(): ReadonlyMap<string, string> {
    const ids = new Map<string, string>();
    for (const { target } of rows) {
      if (target.is !== 'new block' || ids.has(clayKey(target.title))) continue;
      if (ids.size === 0 && line.isNew) {
        steps.push(make('line', { name: line.name, status: 'current' }, line.id));
      }
      const id = newId('block');
      ids.set(clayKey(target.title), id);
      const { title: name } = target;
      steps.push(
        make('block', { lineId: line.id, name, clayType: 'opaque', status: 'current' }, id),
      );
    }
    return ids;
  }

  function tileFor({ target, state }: ImportedRow, key: string): string | undefined {
    if (target.is === 'tile') {
      const { tile } = target;
      if (tile.body.state === 'raw' && state === 'baked' && !baked.has(tile.id)) {
        baked.add(tile.id);
        steps.push(change(tile, { ...tile.body, state: 'baked' }));
      }
      return tile.id;
    }
    const before = made.get(key);
    if (before !== undefined) return before;
    const tile = newTile(target);
    if (tile === undefined) return undefined;
    const id = newId('tile');
    made.set(key, id);
    const isBaked = rows.some((other, i) => keys[i] === key && other.state === 'baked');
    steps.push(make('tile', { ...tile, state: isBaked ? 'baked' : state, bakes: [] }, id));
    return id;
  }

  function newTile(target: Target): Omit<BodyOf<'tile'>, 'state' | 'bakes'> | undefined {
    if (target.is === 'nothing' || target.is === 'unknown' || target.is === 'tile') {
      return undefined;
    }
    const { code, title } = target;
    const called = code === undefined ? { name: title } : { code };
    switch (target.is) {
      case 'new tile':
        return { of: target.of, basis: target.basis, ...called };
      case 'parts':
        return { of: { parts: inBook(target.parts) }, basis: 'volume', ...called };
      case 'new block':
        return {
          of: { kind: 'block', id: clays.get(clayKey(title))! },
          basis: 'volume',
          ...called,
        };
    }
  }

  function inBook(parts: Parts) {
    return parts.map(({ of, parts: count }) => ({
      of:
        of.kind === 'new block' ? { kind: 'block' as const, id: clays.get(clayKey(of.name))! } : of,
      parts: count,
    }));
  }
}

/**
 * What rows of one new tile have in common: its code, or being of the same clay, one raw and one baked.
 * Several plain pieces of one clay in one state are several tiles.
 */
function tileKeys(rows: readonly ImportedRow[]): readonly string[] {
  const counts = new Map<string, number>();
  return rows.map(({ target, state }) => {
    if (target.is === 'nothing' || target.is === 'unknown' || target.is === 'tile') return '';
    if (target.code !== undefined) return `code ${codeKey(target.code)}`;
    const of = target.is === 'new tile' ? target.of.id : clayKey(target.title);
    const nth = (counts.get(`${state} ${of}`) ?? 0) + 1;
    counts.set(`${state} ${of}`, nth);
    return `${of} ${nth}`;
  });
}

function readingOf(
  { state }: ImportedRow,
  { draftId, told, tile }: TileShot,
  tileId: string,
  { photoIds, now }: AcceptAsk,
): BodyOf<'reading'> {
  return {
    of: { kind: 'tile', id: tileId },
    state,
    readAt: now,
    photoId: photoIds.get(draftId)!,
    ...asRead(told, tile),
  };
}
