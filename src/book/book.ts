import { invalidInput } from '../core/errors.ts';
import type { JournalGroup } from '../domain/records/change.ts';
import type { BookRecord } from '../domain/records/record.ts';
import { type BookIndex, bookIndex } from './book-index.ts';
import { type ListService, listService } from './list-service.ts';
import type { BookPorts, RowWrite } from './ports.ts';
import {
  type ColoursElsewhere,
  type PredictedColours,
  predictedColours,
} from './predicted-colours.ts';
import { recipeIndex } from './recipe-index.ts';

/** A change as it went into the book, for whoever shows the book now. */
export interface BookNews {
  readonly group: JournalGroup;
  readonly rows: readonly RowWrite[];
  /** Emptied from the bin. */
  readonly gone: readonly string[];
}

/** An open book: what it stands on, and who wants to hear of changes. */
export interface Book {
  readonly ports: BookPorts;
  readonly index: BookIndex;
  readonly sheets: ListService;
  readonly predicted: PredictedColours;
  /** Checksums of files on their way in, whose record is not in the book yet; a count each. */
  readonly coming: Map<string, number>;
  /** Called in order of seq after a change is on the disk. Returns how to stop. */
  listen(hear: (news: BookNews) => void): () => void;
  tell(news: BookNews): void;
}

/**
 * Opens a book for use; search answers once the index has read the book, which begins at once. Where work
 * can be done elsewhere, mixes without a reading get the colour that is predicted of them.
 */
export function openBook(ports: BookPorts, elsewhere?: ColoursElsewhere): Book {
  const index = bookIndex(ports.store);
  const recipes = recipeIndex(ports.store, index);
  const predicted = predictedColours(ports, index, recipes, elsewhere);
  const listeners = new Set<(news: BookNews) => void>([
    ({ group, rows, gone }) => index.take(group.seq, rows, gone),
  ]);
  return {
    ports,
    index,
    predicted,
    sheets: listService(ports, index, recipes, predicted),
    coming: new Map(),
    listen(hear) {
      listeners.add(hear);
      return () => void listeners.delete(hear);
    },
    tell(news) {
      // One listener's trouble is not the others', and the change is on the disk by now.
      for (const hear of [...listeners]) {
        try {
          hear(news);
        } catch (fault) {
          ports.onTrouble?.(fault);
        }
      }
    },
  };
}

/** What a change did, as the person who made it gets it back. */
export interface Changed {
  readonly group: JournalGroup;
  /** As they are now, in the order of the steps. */
  readonly records: readonly BookRecord[];
  /** The same change was sent before under this key, and was done then. */
  readonly repeated: boolean;
}

/** The record of a change of one. Refuses: a change without a record -> invalid-input */
export function changedRecord({ records: [record] }: Pick<Changed, 'records'>): BookRecord {
  if (record === undefined) throw invalidInput('A change of one record has none.');
  return record;
}
