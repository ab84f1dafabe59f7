import type { BackupCheck, BackupMade, ShelvedBackup } from './backup-ports.ts';
import type { Book } from './book.ts';
import type { BookService } from './book-service.ts';

/** What an installation shows of itself; `bookDoctor` says what to make of it. */
export interface InstallationLook {
  readonly nodeVersion: string;
  readonly folder: string;
  readonly folderIs: 'nothing' | 'folder' | 'other';
  /** Whether a file could be written there; absent where there is no folder yet. */
  readonly writable?: boolean;
  readonly freeBytes?: number;
  readonly bookBytes?: number;
  /** Who has it open, where somebody has. */
  readonly owner?: { readonly pid: number; readonly url?: string };
  /** Schema of the book there, and the newest this program knows. */
  readonly schema?: number;
  readonly knownSchema: number;
  /** What kept the book from being opened, and what to do about that. */
  readonly notOpened?: { readonly what: string; readonly mend: string };
  readonly troubles?: readonly string[];
  readonly looseFiles?: number;
  readonly records?: number;
  readonly backups: readonly ShelvedBackup[];
  /** Of the newest backup. */
  readonly newestBackup?: 'sound' | { readonly trouble: string };
  /** A restore that was begun and not ended. */
  readonly halfRestored: boolean;
  /** Whether the page is built. */
  readonly page: boolean;
  readonly nowEpochMs: number;
  /** The newest moment the book itself knows. */
  readonly newestChangeAt?: string;
}

export interface RestoredBook {
  readonly check: BackupCheck;
  /** Where the book that was there lies now. */
  readonly oldBook?: string;
}

/** Folders with books, as the command line needs them; `main` brings the real ones. */
export interface BookAccess {
  /** The folder a call means: the one named, else of the environment, else the person's own. */
  folderOf(named: string | undefined): string;
  /**
   * Works at the book of a folder: in the server that has it open, else opened here.
   * Refuses: no book there, unless one may be begun -> no-book (not-found); open in a program that is no
   *          server, or in one that cannot be reached from here -> folder-in-use (conflict)
   */
  throughService<T>(
    folder: string,
    begin: boolean,
    work: (service: BookService) => Promise<T>,
  ): Promise<T>;
  /**
   * Looks at a book as it is now, whoever has it open; what is changed meanwhile or in it is lost.
   * Refuses: no book there -> no-book (not-found)
   */
  lookAt<T>(folder: string, work: (book: Book) => Promise<T>): Promise<T>;
  /** A backup, also while another program has the book open. */
  backUp(folder: string, to: string | undefined): Promise<BackupMade>;
  restore(folder: string, from: string): Promise<RestoredBook>;
  checkBackup(path: string): Promise<BackupCheck>;
  installation(folder: string): Promise<InstallationLook>;
  /** Names in a folder that is there, or undefined. */
  namesIn(folder: string): Promise<readonly string[] | undefined>;
  /** Refuses: no leave, no such place -> book-not-opened (unavailable) */
  makeFolder(path: string): Promise<void>;
  /** With all that is in it: for what was made and not ended. */
  removeFolder(path: string): Promise<void>;
  newId(): string;
  /** The person's own day, YYYY-MM-DD. */
  today(): string;
}
