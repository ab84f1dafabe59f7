/**
 * The demo studio with private words in every field that stays at home, around one mix that is shared.
 */
import type { Book } from '../../src/book/book.ts';
import { bookServiceOf } from '../../src/book/book-service.ts';
import { block, mix, put } from './book-maker.ts';
import { demoShareBook } from './demo-share.ts';

/** In every text that must not leave. */
export const SECRET = 'Zanzibar';
export const secret = (what: string) => `${SECRET} ${what}`;

/** The mix to share is `chosen`. */
export async function secretBook(): Promise<Book> {
  const book = await demoShareBook();
  await bookServiceOf(book).change({
    what: secret('history'),
    steps: [
      put('collection', 'secret-set', { name: secret('set'), note: secret('note') }),
      put('box', 'secret-box', { lid: secret('lid'), place: secret('place'), holds: [] }),
      block('secret-block', 'saltmarsh', { name: secret('block'), note: secret('note') }),
      mix('secret-mix', [['block', 'kelp', 1]], { name: secret('mix') }),
      mix(
        'chosen',
        [
          ['block', 'kelp', 1],
          ['block', 'foam', 3],
        ],
        {
          name: 'Chosen',
          note: secret('note'),
          tags: [secret('tag')],
          written: secret('written'),
          collectionIds: ['secret-set'],
          wanted: { lab: [50, 0, 0], name: secret('wanted') },
        },
      ),
      put('tile', 'secret-tile', {
        of: { kind: 'mix', id: 'chosen' },
        name: secret('tile'),
        basis: 'volume',
        state: 'baked',
        bakes: [{ minutes: 30, note: secret('bake') }],
        finish: secret('finish'),
        boxId: 'secret-box',
        note: secret('note'),
      }),
      put('reading', 'secret-reading', {
        of: { kind: 'tile', id: 'secret-tile' },
        readingKind: 'measured',
        state: 'baked',
        lab: { values: [60.25, -12.5, 9.75], light: 'D50', observer: 2 },
        spread: 0.5,
        geometry: 'excluded',
        source: secret('source'),
        instrument: secret('instrument'),
        note: secret('note'),
        place: { file: secret('file'), line: 3 },
      }),
      put('purchase', 'secret-purchase', {
        of: { kind: 'block', id: 'kelp' },
        lotNumber: secret('lot'),
        reformulated: false,
        note: secret('note'),
      }),
      put('wish', 'secret-wish', {
        name: secret('wish'),
        lab: [50, 10, 10],
        why: secret('reason'),
        note: secret('note'),
      }),
      put('figure', 'secret-figure', {
        name: secret('figure'),
        batches: [{ of: { kind: 'mix', id: 'chosen' }, note: secret('batch') }],
        bakes: [],
        holder: secret('holder'),
      }),
      put('note', 'secret-note', {
        of: { kind: 'block', id: 'kelp' },
        feels: [],
        done: [],
        text: secret('text'),
      }),
    ],
  });
  return book;
}
