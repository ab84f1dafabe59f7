import type { StockRow } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { SheetLayout } from '../core/photo/sheet-layout.ts';
import type { RecipeFileRow, VerdictRow } from '../domain/file-rows.ts';
import type { Reading } from '../domain/records/reading.ts';
import type { PhotoDecoder } from '../verbs/photo-port.ts';
import type { Asking } from '../verbs/verb.ts';

/** Files as the command line sees them. Every failing is an AppError that names the path. */
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

/** What the readers of files give, see docs/formats.md. */
interface ReadingsRead {
  readonly readings: readonly Reading[];
  readonly notes: readonly string[];
}

export interface Readers {
  /** `basis`: what parts count where a row says nothing. */
  readings(bytes: Uint8Array, fileName: string, basis: Basis): ReadingsRead;
  recipes(bytes: Uint8Array, fileName: string): { readonly recipes: readonly RecipeFileRow[] };
  verdicts(bytes: Uint8Array, fileName: string): readonly VerdictRow[];
  stock(bytes: Uint8Array, fileName: string): readonly StockRow[];
}

/** Things to print. */
export interface Printing {
  /** PDF of a sheet in true size, with a code beside each place in turn. */
  traySheet(layout: SheetLayout, codes: readonly string[]): Promise<Uint8Array>;
}

/** What the command line needs of the world; `main` brings the real ones. */
export interface Ports extends Asking {
  readonly files: Files;
  readonly readers: Readers;
  readonly photos: PhotoDecoder;
  readonly printing: Printing;
  /** Program and version, written into the files it makes. */
  readonly madeWith: string;
}
