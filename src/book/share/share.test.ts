import { describe, expect, it } from 'vitest';
import { block, line, mix } from '../../../test/conformance/book-maker.ts';
import { demoClay } from '../../../test/conformance/demo-clay.ts';
import {
  choiceOf,
  demoShare,
  demoShareBook,
  emptyBook,
} from '../../../test/conformance/demo-share.ts';
import { SECRET, secret, secretBook } from '../../../test/conformance/secret-book.ts';
import { sharesOfParts } from '../../core/clay/mixture.ts';
import { openModel } from '../../core/clay/predict.ts';
import { deltaE2000 } from '../../core/colour/difference.ts';
import { HOUSE_VIEWING } from '../../core/colour/house-viewing.ts';
import { AppError } from '../../core/errors.ts';
import { predictViewed } from '../../core/find/predicted-mix.ts';
import { modelOfShared } from '../../core/share/model-of-shared.ts';
import { bytesFromClayFile } from '../../domain/clay-file-codec.ts';
import { newestModelOf } from '../../domain/newest-model.ts';
import { bytesFromShare, sealed } from '../../domain/share/share-codec.ts';
import { claysOfCurves } from '../../domain/share/share-curves.ts';
import { whatLeaves } from '../../domain/share/what-leaves.ts';
import { openClay } from '../../verbs/open-clay.ts';
import { allAt, bookServiceOf } from '../book-service.ts';
import { gatherShare } from './gather-share.ts';
import { lookAtShare, takeShare } from './take-share.ts';

describe('what leaves', () => {
  it('is said in words, with what stays', async () => {
    const { leaves, stays } = whatLeaves(await demoShare());
    expect(leaves.join('\n')).toContain('3 recipes: Rock moss Z1, Blush, Deep weed.');
    expect(leaves.join('\n')).toContain('Ask me');
    expect(stays).toContain('notes');
    expect(stays).toContain('photos');
  });

  it('is no private word of the book, in any byte', async () => {
    const book = await secretBook();
    const file = await gatherShare(
      book,
      choiceOf({ mixes: { mixIds: ['chosen'] }, clays: 'learned' }),
      'test',
    );
    const text = new TextDecoder().decode(bytesFromShare(file));
    expect(file.mixes[0].colour).toMatchObject({ lab: [60.25, -12.5, 9.75], from: 'baked' });
    expect(text).not.toContain(SECRET);
    expect(text).not.toContain('"price"');
    const ticked = await gatherShare(
      book,
      choiceOf({ mixes: { mixIds: ['chosen'] }, withNotes: true, withTags: true }),
      'test',
    );
    expect(ticked.mixes[0].note).toBe(secret('note'));
    expect(ticked.mixes[0].tags).toEqual([secret('tag')]);
  });

  it('has curves that predict the colours it names', async () => {
    const file = await demoShare();
    const curves = file.curves!;
    const names = file.clays.map(({ name }) => name);
    const predictor = openModel(modelOfShared(claysOfCurves(curves, names)));
    const at = new Map(curves.clays.map(({ clay }, i) => [clay, i]));
    for (const { parts, colour } of file.mixes) {
      const shares = sharesOfParts(
        parts.map(({ clay, parts }) => ({ clay: at.get(clay)!, parts })),
      );
      const { lab, plusMinus } = predictViewed(predictor, shares, HOUSE_VIEWING);
      // Two digits of the colour, a thousandth of a coefficient.
      expect(deltaE2000(lab, colour!.lab)).toBeLessThan(0.02);
      expect(plusMinus / colour!.plusMinus).toBeGreaterThan(0.85);
      expect(plusMinus / colour!.plusMinus).toBeLessThan(1.15);
    }
  });
});

describe('taking in', () => {
  it('makes a marked book of them, undone in one step', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    const file = await demoShare();
    const seen = await lookAtShare(service, file);
    expect(seen).toMatchObject({ author: 'Ines Limpet', mixes: 3, sameClays: [], there: false });
    expect((await service.counts()).seq).toBe(0);
    await takeShare(service, file, book.ports.newId);
    const mixes = await allAt(service, 'mix');
    const [collection] = await allAt(service, 'collection');
    expect(mixes.map(({ body }) => body.name).sort()).toEqual(['Blush', 'Deep weed', 'Rock moss']);
    expect(collection.body.sharedBy).toMatchObject({ author: 'Ines Limpet', licence: 'ask-me' });
    for (const { body } of mixes) expect(body.collectionIds).toEqual([collection.id]);
    for (const { body } of await allAt(service, 'block')) expect(body.status).toBe('not owned');
    await service.undo();
    expect(await allAt(service, 'mix')).toEqual([]);
    expect(await allAt(service, 'collection')).toEqual([]);
  });

  it('joins clays by line and name, and changes nothing that is there', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    await service.change({
      what: 'mine',
      steps: [
        line('mine', 'saltmarsh'),
        block('my-kelp', 'mine', { name: 'KELP' }),
        mix('my-mix', [['block', 'my-kelp', 1]], { code: 'Z1', name: 'Mine' }),
      ],
    });
    const before = await service.get('my-mix');
    const { sameClays } = await takeShare(service, await demoShare(), book.ports.newId);
    expect(sameClays).toEqual(['Kelp']);
    expect(await service.get('my-mix')).toEqual(before);
    expect((await service.get('my-kelp'))?.version).toBe(1);
    const moss = (await allAt(service, 'mix')).find(({ body }) => body.name === 'Rock moss Z1');
    expect(moss?.body.parts.map(({ of }) => of.id)).toContain('my-kelp');
  });

  it('refuses the same file again', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    const file = await demoShare();
    await takeShare(service, file, book.ports.newId);
    const again = await takeShare(service, file, book.ports.newId).catch((fault) => fault);
    expect(again).toBeInstanceOf(AppError);
    expect(again.code).toBe('share-file-there');
    expect(await allAt(service, 'mix')).toHaveLength(3);
  });

  it('goes on with the licence and the name when it is shared again', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    await takeShare(service, await demoShare(), book.ports.newId);
    const all = gatherShare(book, choiceOf({ mixes: { all: true } }), 'test');
    await expect(all).rejects.toMatchObject({ code: 'nothing-to-share' });
  });

  it('takes the clays along where nothing was learned yet, undone with the rest', async () => {
    const book = emptyBook();
    const service = bookServiceOf(book);
    const file = await demoShare();
    const { curves } = await takeShare(service, file, book.ports.newId);
    expect(curves).toBe('alone');
    const [model] = await allAt(service, 'clay-model');
    const clay = openClay(await service.clayBytes(model), 'theirs');
    const moss = file.mixes.find(({ name }) => name === 'Rock moss')!;
    const parts = moss.parts.map(({ clay: at, parts: n }) => ({
      clay: clay.names.indexOf(file.clays[at].name),
      parts: n,
    }));
    const { lab } = predictViewed(clay.predictor, sharesOfParts(parts), HOUSE_VIEWING);
    expect(deltaE2000(lab, moss.colour!.lab)).toBeLessThan(0.05);
    await service.undo();
    expect(await allAt(service, 'clay-model')).toEqual([]);
  });

  it('joins the clays to a model that has one of them, and leaves them out of own recipes', async () => {
    const book = await demoShareBook();
    const service = bookServiceOf(book);
    const file = await anotherLine();
    const seen = await lookAtShare(service, file);
    const { curves } = await takeShare(service, file, book.ports.newId);
    expect([seen.curves, curves]).toEqual(['joined', 'joined']);
    const model = newestModelOf(await allAt(service, 'clay-model'))!;
    const clay = openClay(await service.clayBytes(model), 'joined');
    const theirs = clay.names.indexOf('Moon limpet');
    expect(theirs).toBeGreaterThan(0);
    expect(clay.usable).not.toContain(theirs);
    expect(clay.usable).toHaveLength(clay.names.length - file.clays.length + 1);
    await service.saveLearned({
      bytes: bytesFromClayFile((await demoClay()).file),
      name: 'again',
      learnedOn: '2026-02-01',
    });
    const again = newestModelOf(await allAt(service, 'clay-model'))!;
    expect(again.body.name).toBe('again');
    expect(again.body.clays.map(({ name }) => name)).toContain('Moon limpet');
  });

  it('says why clays without one in common stay out', async () => {
    const book = await demoShareBook();
    const service = bookServiceOf(book);
    const { seal: _, ...file } = await anotherLine();
    const strange = sealed({
      ...file,
      lines: file.lines.map((line) => ({ ...line, name: `${line.name} II` })),
    });
    const before = newestModelOf(await allAt(service, 'clay-model'));
    const { curves } = await takeShare(service, strange, book.ports.newId);
    expect(curves).toBe('no-anchor');
    expect(newestModelOf(await allAt(service, 'clay-model'))).toEqual(before);
  });
});

/** The demo's file from a studio whose clays are called otherwise, all but one. */
async function anotherLine() {
  const { seal: _, ...file } = await demoShare();
  const [first, ...others] = file.clays;
  return sealed({
    ...file,
    clays: [first, ...others.map((clay) => ({ ...clay, name: `Moon ${clay.name.toLowerCase()}` }))],
  });
}
