/** Begins the names of caches that hold what was seen of a book. */
export const BOOKS = 'book ';
/** A cache of this name says that nothing of a book is to be kept on this device. */
export const NOTHING = 'nothing is kept';
