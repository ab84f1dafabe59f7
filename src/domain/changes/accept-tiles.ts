import { clayKey } from '../../core/notation/clay-name.ts';
import { codeKey } from '../../core/notation/codes.ts';
import { pairs } from '../../core/numeric/pairs.ts';
import type { BookStep } from '../records/change.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { lineFor } from './line-for.ts';
import { bakedSteps } from './read-tile.ts';
import { make } from './steps.ts';

type State = BodyOf<'tile'>['state'];

export type Parts = readonly {
  readonly of:
    | { readonly kind: 'block' | 'mix'; readonly id: string }
    /** A clay that is not in the book yet, by its name. */
    | { readonly kind: 'new block'; readonly name: string };
  readonly parts: number;
}[];

/** What a tile that was read is in the book. */
export type TileTarget =
  /** A tile the book has: it gets another reading. */
  | { readonly is: 'tile'; readonly tile: RecordOf<'tile'>; readonly title: string }
  /** A new tile of a mix or block. */
  | {
      readonly is: 'new tile';
      readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
      readonly basis: 'volume' | 'weight';
      readonly code?: string;
      readonly title: string;
    }
  /** A new tile with parts of its own. */
  | { readonly is: 'parts'; readonly parts: Parts; readonly code?: string; readonly title: string }
  /** A plain tile of a clay that comes into the book with it. */
  | { readonly is: 'new block'; readonly title: string; readonly code?: string };

/** A tile to be saved, with what was read of it. */
export interface ReadTile {
  readonly target: TileTarget;
  readonly state: State;
  readonly readings: readonly Omit<BodyOf<'reading'>, 'of' | 'state'>[];
}

export interface AcceptAsk {
  readonly rows: readonly ReadTile[];
  /** Line of the clays that are new. */
  readonly line: string;
  readonly lines: Iterable<Pick<RecordOf<'line'>, 'id' | 'body'>>;
  readonly newId: (kind: string) => string;
}

/**
 * The records that photos leave in the book: what is new of lines, blocks and tiles, and a reading for
 * every photo a tile was well seen in, so that readings of one photo share its error.
 * Holds:   a clay comes before what is mixed of it; a tile that two rows name is made once, as is one that
 *          lies raw and baked side by side; a raw tile that was read baked is baked from now on
 */
export function acceptTilesSteps({ rows, line, lines, newId }: AcceptAsk): readonly BookStep[] {
  const steps: BookStep[] = [];
  const clays = newClays();
  const made = new Map<string, string>();
  const baked = new Set<string>();
  const keys = tileKeys(rows);
  for (const [row, key] of pairs(rows, keys)) {
    const id = tileFor(row, key);
    for (const reading of row.readings) {
      steps.push(make('reading', { ...reading, of: { kind: 'tile', id }, state: row.state }));
    }
  }
  return steps;

  function newClays(): ReadonlyMap<string, string> {
    const names = new Map<string, string>();
    for (const { target } of rows) {
      if (target.is !== 'new block' || names.has(clayKey(target.title))) continue;
      names.set(clayKey(target.title), target.title);
    }
    if (names.size === 0) return new Map();
    const { id: lineId, steps: lineSteps } = lineFor(line, lines, newId);
    steps.push(...lineSteps);
    return new Map(
      [...names].map(([key, name]) => {
        const id = newId('block');
        steps.push(make('block', { lineId, name, clayType: 'opaque', status: 'current' }, id));
        return [key, id];
      }),
    );
  }

  function tileFor({ target, state }: ReadTile, key: string): string {
    if (target.is === 'tile') {
      const { tile } = target;
      if (!baked.has(tile.id)) {
        const change = bakedSteps(tile, state);
        if (change.length > 0) baked.add(tile.id);
        steps.push(...change);
      }
      return tile.id;
    }
    const before = made.get(key);
    if (before !== undefined) return before;
    const id = newId('tile');
    made.set(key, id);
    const isBaked = rows.some((other, i) => keys[i] === key && other.state === 'baked');
    const body = { ...newTile(target), state: isBaked ? ('baked' as const) : state, bakes: [] };
    steps.push(make('tile', body, id));
    return id;
  }

  function newTile(target: NewTileTarget): Omit<BodyOf<'tile'>, 'state' | 'bakes'> {
    const { code, title } = target;
    const called = code === undefined ? { name: title } : { code };
    switch (target.is) {
      case 'new tile':
        return { of: target.of, basis: target.basis, ...called };
      case 'parts':
        return { of: { parts: inBook(target.parts) }, basis: 'volume', ...called };
      case 'new block':
        return { of: newClay(title), basis: 'volume', ...called };
    }
  }

  function newClay(name: string) {
    return { kind: 'block' as const, id: clays.get(clayKey(name))! };
  }

  function inBook(parts: Parts) {
    return parts.map(({ of, parts: count }) => ({
      of: of.kind === 'new block' ? newClay(of.name) : of,
      parts: count,
    }));
  }
}

type NewTileTarget = Exclude<TileTarget, { readonly is: 'tile' }>;

/**
 * What rows of one new tile have in common: its code, or being of the same clay, one raw and one baked.
 * Several plain pieces of one clay in one state are several tiles.
 */
function tileKeys(rows: readonly ReadTile[]): readonly string[] {
  const counts = new Map<string, number>();
  return rows.map(({ target, state }) => {
    if (target.is === 'tile') return '';
    if (target.code !== undefined) return `code ${codeKey(target.code)}`;
    const of = target.is === 'new tile' ? target.of.id : clayKey(target.title);
    const nth = (counts.get(`${state} ${of}`) ?? 0) + 1;
    counts.set(`${state} ${of}`, nth);
    return `${of} ${nth}`;
  });
}
