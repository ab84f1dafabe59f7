/** Names in a data folder; docs/book.md tells what each is. */
export const BOOK_FILE = 'book.sqlite';
export const PHOTO_FOLDER = 'photos';
/** The number of the newest change that was said to be saved. */
export const NEWEST_FILE = 'book.newest';
/** Says that a restore was decided on, and where its two halves lie; gone once it is through. */
export const RESTORE_PLAN = 'restore.json';
/** Of a book's own backups. */
export const BACKUP_FOLDER = 'backups';
/** Backups that came in to be looked at; no part of the book. */
export const INCOMING_FOLDER = 'incoming';
/** Photos that wait to be accepted; no part of the book. */
export const DRAFT_FOLDER = 'drafts';
