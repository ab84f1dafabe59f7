import type { StockRow } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { Recipe } from '../core/notation/notation.ts';
import type { SheetLayout } from '../core/photo/sheet-layout.ts';
import type { EyeVerdict } from '../core/trial/by-eye-observer.ts';
import type { Reading, ReadingPlace } from '../domain/reading.ts';
import type { PhotoDecoder } from './photo-port.ts';

/** Files as the use cases see them. Every failing is an AppError that names the path. */
export interface Files {
  /** Refuses: nothing there -> not-found; a folder, no permission -> bad-input, unavailable. */
  read(path: string): Promise<Uint8Array>;
  /** Whole or not at all: after a failing the path holds what it held before. */
  write(path: string, bytes: Uint8Array): Promise<void>;
  /** What is at a path, and one name for it whatever way it is spelt. */
  look(path: string): Promise<{
    readonly identity: string;
    readonly kind: 'nothing' | 'file' | 'folder' | 'other';
  }>;
}

/** How far a long piece of work has come. */
export interface ProgressReport {
  readonly what: string;
  readonly done?: number;
  readonly total?: number;
}

/** What the readers of files give, see docs/formats.md. */
interface ReadingsRead {
  readonly readings: readonly Reading[];
  readonly notes: readonly string[];
}

/** A row that asks for a prediction. */
export interface RecipeRow {
  readonly of: Recipe;
  /** As it was written. */
  readonly written: string;
  /** Absent where the row says nothing. */
  readonly basis?: Basis;
  readonly place: ReadingPlace;
  /** Column of the recipe, 1 is the first. */
  readonly column: number;
}

/** A trial of little balls, as she wrote it down. */
export interface VerdictRow {
  /** One to three, A first. */
  readonly balls: readonly Recipe[];
  /** Absent while the balls are rolled and not yet judged. */
  readonly verdict?: EyeVerdict;
  readonly place: ReadingPlace;
}

export interface Readers {
  /** `basis`: what parts count where a row says nothing. */
  readings(bytes: Uint8Array, fileName: string, basis: Basis): ReadingsRead;
  recipes(bytes: Uint8Array, fileName: string): { readonly recipes: readonly RecipeRow[] };
  verdicts(bytes: Uint8Array, fileName: string): readonly VerdictRow[];
  stock(bytes: Uint8Array, fileName: string): readonly StockRow[];
}

/** Things to print. */
export interface Printing {
  /** PDF of a sheet in true size, with a code beside each place in turn. */
  traySheet(layout: SheetLayout, codes: readonly string[]): Promise<Uint8Array>;
}

/** What the use cases need of the world; `main` brings the real ones. */
export interface Ports {
  readonly files: Files;
  readonly readers: Readers;
  readonly photos: PhotoDecoder;
  readonly printing: Printing;
  /** Milliseconds from any beginning; only differences are used. */
  readonly nowMs: () => number;
  readonly progress: (report: ProgressReport) => void;
  /** Whether she asked for long work to stop with the best it has. */
  readonly stopped?: () => boolean;
  /** Lets the shell draw and hear a key between two pieces of long work. */
  readonly breathe: () => Promise<void>;
  /** Program and version, written into the files it makes. */
  readonly madeWith: string;
}
