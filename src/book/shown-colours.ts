import { ISCC_NBS } from '../core/colour/iscc-nbs.data.ts';
import type { BookKind } from '../domain/records/record.ts';
import { qualityOfStatus, shownColour } from '../domain/records/shown-colour.ts';
import { grown, type NamedLab, type RecordTable } from './record-table.ts';

export interface ColourShown extends NamedLab {
  readonly from: 'reading' | 'predicted now' | 'predicted then';
  /** Number of the reading; of the mix itself where its colour is predicted. */
  readonly source: number;
}

/** The colour shown of every mix, tile and block, by number. */
export interface ShownColours {
  of(number: number): ColourShown | undefined;
  /** Place of the colour's name in `ISCC_NBS`; -1 where there is no colour. */
  nameOf(number: number): number;
  /** Number of the record that gives the colour; -1 where there is none. */
  sourceOf(number: number): number;
  predictedNow(number: number): NamedLab | undefined;
  setPredicted(number: number, colour: NamedLab | undefined): void;
  /** A record, or what names it, changed; the owners of its colour are worked out when next asked. */
  touch(number: number): void;
  /** Owners whose colour may be another since this was last asked. */
  takeTouched(): Iterable<number>;
}

const UNKNOWN = -2;
const NONE = -1;
const NO_NAME = ISCC_NBS.length;
const OWNERS: readonly BookKind[] = ['mix', 'tile', 'block'];

export function shownColours(table: RecordTable): ShownColours {
  /** One more than the source, so that 0 is `UNKNOWN`. */
  let sources = new Int32Array(0);
  let labs = new Float64Array(0);
  let names = new Uint16Array(0);
  let touched = new Set<number>();

  return {
    of(number) {
      const source = sourceOf(number);
      if (source === NONE) return undefined;
      if (source !== number) {
        const read = table.colourAt(source);
        return read === undefined ? undefined : { ...read, from: 'reading', source };
      }
      const now = predictedNow(number);
      if (now !== undefined) return { ...now, from: 'predicted now', source };
      const then = table.colourAt(number);
      return then === undefined ? undefined : { ...then, from: 'predicted then', source };
    },
    nameOf(number) {
      const source = sourceOf(number);
      if (source === NONE) return -1;
      if (source === number && hasPrediction(number)) return names[number] - 1;
      return table.colourNameAt(source);
    },
    sourceOf,
    predictedNow,
    setPredicted(number, colour) {
      if (colour === undefined && !hasPrediction(number)) return;
      makeRoom();
      names[number] = colour === undefined ? 0 : colour.name + 1;
      if (colour !== undefined) labs.set(colour.lab, 3 * number);
      forget(number);
    },
    touch(number) {
      forget(number);
      const kind = table.kindAt(number);
      if (kind !== 'tile' && kind !== 'reading') return;
      for (const of of table.namedBy(number, 'of')) {
        forget(of);
        if (kind === 'tile' || table.kindAt(of) !== 'tile') continue;
        for (const owner of table.namedBy(of, 'of')) forget(owner);
      }
    },
    takeTouched() {
      const taken = touched;
      touched = new Set();
      return taken;
    },
  };

  function forget(number: number): void {
    if (number < sources.length) sources[number] = 0;
    touched.add(number);
  }

  function sourceOf(number: number): number {
    if (number >= sources.length) makeRoom();
    const known = sources[number] + UNKNOWN;
    if (known !== UNKNOWN) return known;
    const found = find(number);
    sources[number] = found - UNKNOWN;
    return found;
  }

  function find(number: number): number {
    const kind = table.kindAt(number);
    if (kind === undefined || !OWNERS.includes(kind)) return NONE;
    const shown = shownColour({
      readings: readingsOf(table, number).filter((one) => table.colourNameAt(one) >= 0),
      quality: (one) => qualityOfStatus(table.statusAt(one)),
      predictedNow: hasPrediction(number),
      predictedThen: table.colourNameAt(number) >= 0,
    });
    if (shown === undefined) return NONE;
    return shown.from === 'reading' ? shown.reading : number;
  }

  function hasPrediction(number: number): boolean {
    return number < names.length && names[number] > 0 && names[number] <= NO_NAME;
  }

  function predictedNow(number: number): NamedLab | undefined {
    if (!hasPrediction(number)) return undefined;
    const at = 3 * number;
    return { lab: [labs[at], labs[at + 1], labs[at + 2]], name: names[number] - 1 };
  }

  function makeRoom(): void {
    if (table.size <= sources.length) return;
    const room = Math.ceil(table.size * 1.25);
    sources = grown(sources, new Int32Array(room));
    labs = grown(labs, new Float64Array(3 * room));
    names = grown(names, new Uint16Array(room));
  }
}

/** Live readings of a block, mix or tile, by itself and of its tiles, the oldest first. */
export function readingsOf(table: RecordTable, number: number): readonly number[] {
  const found: number[] = [];
  for (const one of table.namersOf(number, 'of')) {
    if (table.isLive(one, 'reading')) found.push(one);
    else if (table.isLive(one, 'tile')) {
      for (const under of table.namersOf(one, 'of')) {
        if (table.isLive(under, 'reading')) found.push(under);
      }
    }
  }
  return found.length < 2 ? found : found.sort((one, other) => one - other);
}
