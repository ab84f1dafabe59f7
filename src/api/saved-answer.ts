/** Of every answer of the API to one who may come in: which book it is of. */
export const BOOK_HEADER = 'kneadwell-book';
/** Of an answer the page's own worker gave because the book did not: when it came, as an instant. */
export const KEPT_HEADER = 'kneadwell-kept';
