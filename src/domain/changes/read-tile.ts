import type { Lab } from '../../core/colour/triples.ts';
import { clayKey } from '../../core/notation/clay-name.ts';
import { codeKey } from '../../core/notation/codes.ts';
import type { BookStep } from '../records/change.ts';
import type { ReadingKind } from '../records/reading-kind.ts';
import type { BodyOf, RecordOf } from '../records/record.ts';
import { labReading } from './lab-reading.ts';
import { change, make } from './steps.ts';

type State = BodyOf<'tile'>['state'];
type Tile = RecordOf<'tile'>;

/** The tiles of one block or mix, with their readings. */
export interface TilesOfIt {
  readonly tiles: readonly Tile[];
  readonly readings: readonly Pick<RecordOf<'reading'>, 'body'>[];
}

/** What a tile is called: by the code stamped into it, else by name. */
export interface TileCalled {
  readonly code?: string | undefined;
  readonly name: string;
}

/**
 * The tile a new reading belongs to: the one with this code; without a code the one of this name that
 * was not read in this state yet, so that raw and baked readings of one tile meet.
 */
export function tileToRead(
  { tiles, readings }: TilesOfIt,
  { code, name }: TileCalled,
  state: State,
): Tile | undefined {
  const coded = tiles.find(
    ({ body }) =>
      code !== undefined && body.code !== undefined && codeKey(body.code) === codeKey(code),
  );
  if (coded !== undefined) return coded;
  const isRead = (id: string) =>
    readings.some(({ body }) => body.of.id === id && body.state === state);
  return tiles.find(
    ({ id, body }) =>
      code === undefined &&
      body.name !== undefined &&
      clayKey(body.name) === clayKey(name) &&
      !isRead(id),
  );
}

/**
 * A reading of a tile as steps of a change: of a tile the book has, or of a new one.
 * Holds:   a raw tile that was read baked is baked from now on; a new tile takes its code only where no
 *          tile of the same thing has the code already
 */
export function readTileSteps(ask: {
  readonly of: BodyOf<'tile'>['of'];
  readonly basis: BodyOf<'tile'>['basis'];
  readonly called: TileCalled;
  readonly tile: Tile | undefined;
  readonly state: State;
  /** Absent where nobody read the tile yet. */
  readonly lab: Lab | undefined;
  readonly readingKind: ReadingKind;
  /** Of an instrument's reading: whether it includes the gloss. */
  readonly geometry?: BodyOf<'reading'>['geometry'] | undefined;
  readonly thicknessMm?: number | undefined;
  /** Whether the code is free for a new tile. */
  readonly isCodeFree?: boolean;
  readonly newId: (kind: string) => string;
}): readonly BookStep[] {
  const { of, basis, called, tile, state, lab, readingKind, thicknessMm, newId } = ask;
  const id = tile?.id ?? newId('tile');
  const readings =
    lab === undefined
      ? []
      : [
          make('reading', {
            of: { kind: 'tile', id },
            ...labReading(lab, readingKind, state, ask.geometry),
          }),
        ];
  if (tile === undefined) {
    const { code, name } = called;
    const body = {
      of,
      basis,
      state,
      bakes: [],
      ...(code === undefined || ask.isCodeFree === false ? { name } : { code }),
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
    };
    return [make('tile', body, id), ...readings];
  }
  return [...bakedSteps(tile, state), ...readings];
}

/** A raw tile that is read baked becomes a baked one; otherwise nothing changes. */
export function bakedSteps(tile: Tile, state: State): readonly BookStep[] {
  return tile.body.state === 'raw' && state === 'baked'
    ? [change(tile, { ...tile.body, state: 'baked' })]
    : [];
}
