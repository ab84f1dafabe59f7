/**
 * The demo studio as a book in memory, learned, with a few mixes of its own; and share files of it.
 */
import { type Book, openBook } from '../../src/book/book.ts';
import { bookServiceOf } from '../../src/book/book-service.ts';
import { gatherShare } from '../../src/book/share/gather-share.ts';
import { bytesFromClayFile } from '../../src/domain/clay-file-codec.ts';
import { type ShareChoice, shareChoice } from '../../src/domain/share/share-choice.ts';
import type { ShareFile } from '../../src/domain/share/share-file.ts';
import { demoRecords } from '../../src/main/demo-records.ts';
import { filesInMemory, mix, steadyWorld } from './book-maker.ts';
import { demoClay } from './demo-clay.ts';
import { memoryBookStore } from './memory-book-store.ts';

/** An empty book in memory. */
export function emptyBook(): Book {
  return openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
}

/** The demo's records, its clay model, and three mixes of its clays. */
export async function demoShareBook(): Promise<Book> {
  const book = emptyBook();
  const service = bookServiceOf(book);
  await service.importRecords({ records: await demoRecords(), files: [], what: 'the demo' });
  const { file } = await demoClay();
  await service.saveLearned({
    bytes: bytesFromClayFile(file),
    name: 'demo',
    learnedOn: '2026-01-01',
  });
  await service.change({
    what: 'three mixes',
    steps: [
      mix(
        'own-moss',
        [
          ['block', 'kelp', 5],
          ['block', 'limpet', 2],
        ],
        { name: 'Rock moss', code: 'Z1' },
      ),
      mix(
        'blush',
        [
          ['block', 'foam', 6],
          ['block', 'anemone', 1],
        ],
        { name: 'Blush' },
      ),
      mix(
        'deep',
        [
          ['mix', 'own-moss', 1],
          ['block', 'mussel', 1],
        ],
        { name: 'Deep weed' },
      ),
    ],
  });
  return book;
}

export function choiceOf(more: Partial<ShareChoice> = {}): ShareChoice {
  return shareChoice.parse({
    author: 'Ines Limpet',
    mixes: { mixIds: ['own-moss', 'blush', 'deep'] },
    ...more,
  });
}

export async function demoShare(more: Partial<ShareChoice> = {}): Promise<ShareFile> {
  return gatherShare(await demoShareBook(), choiceOf(more), 'test');
}
