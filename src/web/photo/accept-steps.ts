import type { BookStep } from '../../contract/book/change.ts';
import type { BodyOf } from '../../contract/book/record.ts';
import { KIND_WIDTHS } from '../../contract/reading-kind.ts';
import { change, make } from '../book/change.ts';
import type { Target } from './match-code.ts';
import type { State } from './photo-desk.ts';
import type { PhotoRow, TileShot } from './photo-rows.ts';

/** A tile to be taken into the book. */
export interface TakenRow {
  readonly row: PhotoRow;
  readonly state: State;
  readonly target: Target;
  readonly newBlock: boolean;
}

export interface AcceptAsk {
  readonly rows: readonly TakenRow[];
  /** Of the photo's record, by its draft. */
  readonly photoIds: ReadonlyMap<string, string>;
  readonly line: { readonly id: string; readonly name: string; readonly isNew: boolean };
  readonly newId: (kind: string) => string;
  readonly now: string;
}

/**
 * The records that photos leave in the book: what is new of lines, blocks and tiles, and a reading for
 * every photo a tile was well seen in, so that readings of one photo share its error.
 * Holds:   a tile that two rows name is made once; a raw tile that was read baked is baked from now on
 */
export function acceptSteps(ask: AcceptAsk): BookStep[] {
  const { rows, line, newId } = ask;
  const steps: BookStep[] = [];
  if (line.isNew && rows.some(({ newBlock, target }) => newBlock && target.is === 'unknown')) {
    steps.push(make('line', { name: line.name, status: 'current' }, line.id));
  }
  const made = new Map<string, string>();
  const baked = new Set<string>();
  for (const taken of rows) {
    const tileId = tileFor(taken);
    if (tileId === undefined) continue;
    for (const shot of taken.row.counted) {
      steps.push(make('reading', readingOf(taken, shot, tileId, ask)));
    }
  }
  return steps;

  function tileFor({ target, state, newBlock, row }: TakenRow): string | undefined {
    if (target.is === 'tile') {
      const { tile } = target;
      if (tile.body.state === 'raw' && state === 'baked' && !baked.has(tile.id)) {
        baked.add(tile.id);
        steps.push(change(tile, { ...tile.body, state: 'baked' }));
      }
      return tile.id;
    }
    const tile = newTile(target, newBlock);
    if (tile === undefined) return undefined;
    const key = tile.code === undefined ? row.key : `code ${tile.code}`;
    const before = made.get(key);
    if (before !== undefined) return before;
    const id = newId('tile');
    made.set(key, id);
    const states = rows.filter(
      ({ target: other }) => other === target || sameCode(other, tile.code),
    );
    const isBaked = states.some((other) => other.state === 'baked');
    steps.push(make('tile', { ...tile, state: isBaked ? 'baked' : state, bakes: [] }, id));
    return id;
  }

  function newTile(
    target: Target,
    newBlock: boolean,
  ): Omit<BodyOf<'tile'>, 'state' | 'bakes'> | undefined {
    if (target.is === 'new tile') {
      const { of, basis, code, title } = target;
      return { of, basis, ...(code === undefined ? { name: title } : { code }) };
    }
    if (target.is === 'parts') {
      const { parts, code, title } = target;
      return {
        of: { parts },
        basis: 'volume',
        ...(code === undefined ? { name: title } : { code }),
      };
    }
    if (target.is !== 'unknown' || !newBlock) return undefined;
    const id = newId('block');
    const body = {
      lineId: line.id,
      name: target.title,
      sort: 'opaque',
      status: 'current',
    } as const;
    steps.push(make('block', body, id));
    return { of: { kind: 'block', id }, basis: 'volume', name: target.title };
  }
}

function sameCode(target: Target, code: string | undefined): boolean {
  return (
    code !== undefined &&
    (target.is === 'new tile' || target.is === 'parts') &&
    target.code === code
  );
}

function readingOf(
  { state }: TakenRow,
  { draftId, told, tile }: TileShot,
  tileId: string,
  { photoIds, now }: AcceptAsk,
): BodyOf<'reading'> {
  const got = told.rough === null ? 'measured' : 'rough';
  const least = got === 'rough' ? KIND_WIDTHS.rough.least : 0;
  const [l, a, b] = tile.lab;
  return {
    of: { kind: 'tile', id: tileId },
    got,
    state,
    readAt: now,
    lab: { values: [Math.min(101, Math.max(-0.5, l)), a, b], light: 'D50', observer: 2 },
    spread: Math.min(20, Math.max(least, tile.spread)),
    geometry: 'excluded',
    photoId: photoIds.get(draftId)!,
    region: regionOf(told, tile.outline),
  };
}

/** The box round an outline, in shares of the photo. */
function regionOf(
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  outline: readonly (readonly [number, number])[],
) {
  const held = (v: number) => Math.min(1, Math.max(0, v));
  const xs = outline.map(([x]) => held(x / widthPx));
  const ys = outline.map(([, y]) => held(y / heightPx));
  const left = Math.min(...xs);
  const top = Math.min(...ys);
  return { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
}
