import type { BookAccess } from '../book/book-access.ts';
import type { ExportWriters } from '../book/export-book.ts';
import type { ImageSize } from '../book/picture-size.ts';
import type { Drawer } from '../book/share/drawer.ts';
import type { ImportKind } from '../domain/import-kinds.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { SiteParts } from '../domain/site/build-site.ts';
import type { Ports } from './ports.ts';
import type { Screen } from './terminal-output.ts';

export interface ServeCall {
  readonly folder: string;
  readonly port?: number;
  readonly open: boolean;
  /** Said at once, while the server goes on. */
  readonly say: (text: string) => void;
}

export interface DemoMade {
  readonly folder: string;
  readonly made: boolean;
  readonly records: number;
}

/** What verbs of the book need of the world. */
export interface BookShell {
  readonly ports: Ports;
  readonly screen: Screen;
  readonly out: (text: string) => void;
  readonly books: BookAccess;
  readonly exports: ExportWriters;
  /** Draws cards and sheets. */
  readonly drawer: () => Promise<Drawer>;
  /** Script and type of a page of one's own. Refuses: not built yet -> page-not-built (unavailable) */
  readonly siteParts: () => Promise<SiteParts>;
  /** The text of the QR code in a photo. */
  readonly readQr: (bytes: Uint8Array) => Promise<string | undefined>;
  /** What the bytes are and how large; nothing where they are no picture. */
  readonly imageSize: (bytes: Uint8Array) => ImageSize | undefined;
  readonly textOf: (bytes: Uint8Array, file: string) => string;
  /** What is in a file to import. */
  readonly kindOf: (bytes: Uint8Array, file: string) => ImportKind;
  /** Records of one file of an export. */
  readonly recordsOf: (bytes: Uint8Array, file: string) => readonly BookRecord[];
  /** Resolves when the server was ended. */
  readonly serve: (call: ServeCall) => Promise<void>;
  readonly demo: {
    make(folder: string): Promise<DemoMade>;
    /** Refuses: what is no demo -> not-a-demo */
    remove(folder: string): Promise<boolean>;
  };
}
