import type { BackupStore } from '../book/backup-ports.ts';
import type { Book } from '../book/book.ts';
import type { DeviceBook } from '../book/devices/device-book.ts';
import type { ExportWriters } from '../book/export-book.ts';
import type { WorkElsewhere } from '../book/jobs/clay-jobs.ts';
import type { JobQueue } from '../book/jobs/job-queue.ts';
import type { PhotoDrafts } from '../book/photo/photo-drafts.ts';
import type { PhotoWorkElsewhere } from '../book/photo/photo-job.ts';
import type { ImageSize } from '../book/picture-size.ts';
import type { RestoreService } from '../book/restore-service.ts';
import type { ServerStateStore } from '../book/server-state.ts';
import type { Drawer } from '../book/share/drawer.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { SiteParts } from '../domain/site/build-site.ts';
import type { ConnectionLimits } from './connection-limits.ts';

export interface NetworkState {
  readonly on: boolean;
  readonly urls: readonly string[];
  readonly secure: boolean;
}

/** What the server stands on; `main` brings it. */
export interface ServerDependencies {
  readonly book: Book;
  /** The folder of the book, as shown to the owner. */
  readonly folder: string;
  /** Saved in that folder while the book is served, for programs that can read the folder. */
  readonly folderPass: string;
  readonly backups: BackupStore;
  readonly restores: RestoreService;
  readonly exports: ExportWriters;
  /** Records of the invented studio. */
  readonly demo: () => Promise<readonly BookRecord[]>;
  readonly jobs: JobQueue;
  readonly devices: DeviceBook;
  readonly side: ServerStateStore;
  readonly work: WorkElsewhere;
  readonly drafts: PhotoDrafts;
  readonly photoWork: PhotoWorkElsewhere;
  readonly version: string;
  /** Tells this book from others that are served here at other times. */
  readonly bookName: string;
  /** What the bytes are and how large, from their head alone; nothing where they are no picture. */
  readonly imageSize: (bytes: Uint8Array) => ImageSize | undefined;
  /** What draws and packs what leaves, and reads the code of a card. */
  readonly sharing: {
    readonly drawer: () => Promise<Drawer>;
    readonly siteParts: () => Promise<SiteParts>;
    readonly readQr: (photo: Uint8Array) => Promise<string | undefined>;
    readonly zipped: (files: ReadonlyMap<string, string | Uint8Array>) => Promise<Uint8Array>;
  };
  readonly network: { state(): NetworkState; set(on: boolean): Promise<NetworkState> };
  readonly qrSvg: (text: string) => Promise<string>;
  /** Names under which this machine may be spoken to over the home network. */
  readonly hostNames: () => readonly string[];
  /** Folder of the built page. */
  readonly page?: string;
  readonly nowEpochMs: () => number;
  /** How long and how many callers are waited for; CONNECTION_LIMITS when absent. */
  readonly limits?: ConnectionLimits;
  /** Holds every answer against its schema; tests do. */
  readonly checkAnswers?: boolean;
  /** Where lines of the log go; nowhere when absent. */
  readonly log?: { write(line: string): void };
  readonly onTrouble: (fault: unknown) => void;
}
