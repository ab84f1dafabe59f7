import { describe, expect, it } from 'vitest';
import { block, line, put } from '../../../test/conformance/book-maker.ts';
import { emptyBook } from '../../../test/conformance/demo-share.ts';
import { allAt, bookServiceOf } from '../../book/book-service.ts';
import { takeShare } from '../../book/share/take-share.ts';
import { AppError } from '../../core/errors.ts';
import { shareOfPublished } from '../share/published.ts';
import { closestOwn, matchClaySteps } from './match-clay.ts';

const own = (id: string, lab: readonly [number, number, number]) => [
  block(id, 'mine'),
  put('reading', `${id}-read`, {
    of: { kind: 'block', id },
    readingKind: 'measured',
    state: 'baked',
    lab: { values: lab, light: 'D50', observer: 2 },
    spread: 0.5,
    geometry: 'excluded',
  }),
];

describe('published recipes', () => {
  it('come in with unknown clays, and own blocks take their places by colour', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    await service.change({
      what: 'mine',
      steps: [line('mine'), ...own('limpet', [75, 10, 80]), ...own('lagoon', [30, 0, -45])],
    });
    const file = shareOfPublished('Moss: 2 parts of a vivid yellow, 1 part dark blue', 'a letter');
    await takeShare(service, file, book.ports.newId);
    const [mix] = await allAt(service, 'mix');
    const blocks = await allAt(service, 'block');
    const unknown = blocks.find(({ body }) => body.name === 'vivid yellow')!;
    expect(unknown.body.status).toBe('not owned');
    const labs = new Map<string, readonly [number, number, number]>([
      ['limpet', [75, 10, 80]],
      ['lagoon', [30, 0, -45]],
    ]);
    const [closest] = closestOwn(unknown, blocks, (id) => labs.get(id));
    expect(closest.block.id).toBe('limpet');
    await service.change({ what: 'match', steps: matchClaySteps(unknown.id, 'limpet', [mix]) });
    const after = await service.get(mix.id);
    expect(after?.kind === 'mix' && after.body.parts).toEqual([
      { of: { kind: 'block', id: 'limpet' }, parts: 2 },
      mix.body.parts[1],
    ]);
  });

  it('are refused with their lines where a part has no number', () => {
    const refused = () => shareOfPublished('Moss: 2 parts yellow\nSand: some white', 'a letter');
    expect(refused).toThrow(AppError);
    expect(refused).toThrow(/line 2/);
  });
});
