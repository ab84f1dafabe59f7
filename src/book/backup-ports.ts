import type { BackupManifest } from '../domain/records/backup.ts';
import type { BookCheck } from './check-book.ts';
import type { RecordCounts } from './record-counts.ts';

/** One saved backup, described from its file name alone. */
export interface ShelvedBackup {
  readonly path: string;
  /** From the name, UTC. */
  readonly at: string;
  /** Made by itself once a day; those are thinned, what a person made never is. */
  readonly daily: boolean;
  readonly bytes: number;
}

export interface BackupMade {
  readonly path: string;
  readonly bytes: number;
  readonly manifest: Pick<BackupManifest, 'madeAt' | 'seq' | 'records' | 'lacking'> & {
    readonly files: number;
  };
}

/** Backups of one open book. */
export interface BackupStore {
  /** Where they stand unless said otherwise. */
  readonly folder: string;
  /** Newest last. */
  list(): Promise<readonly ShelvedBackup[]>;
  /**
   * Makes one while the book is in use, reads it back, and only then gives it its name.
   * Refuses: a damaged book -> book-damaged, so that no bad copy ever pushes out a good one; a path that
   *          is taken -> out-not-free (conflict); no room -> disk-full
   */
  make(call?: { readonly to?: string; readonly daily?: boolean }): Promise<BackupMade>;
  remove(path: string): Promise<void>;
}

/** What a look through a backup found. */
export interface BackupCheck extends BookCheck {
  readonly manifest: Omit<BackupManifest, 'files' | 'seal'> & { readonly files: number };
  readonly holds: RecordCounts;
}
