/** Begins the names of caches that hold what was seen of a book. */
export const BOOKS = 'book ';
/** A cache of this name says that no offline copy may be saved on this device. */
export const OPTED_OUT = 'nothing is kept';
