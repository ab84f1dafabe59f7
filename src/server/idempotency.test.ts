import { describe, expect, it } from 'vitest';
import { memorySideStore } from '../../test/conformance/memory-side-store.ts';
import { idempotencyFor, type SavedAnswer } from './idempotency.ts';

const answer = (n: number): SavedAnswer => ({ status: 201, headers: {}, body: { n } });
const key = { key: 'device:1', said: { a: 1 }, inJournal: false };

describe('a call under a key', () => {
  it('is done once, and answered the same after a restart', async () => {
    const side = memorySideStore();
    let done = 0;
    const work = async () => answer(++done);
    const first = await idempotencyFor(side, () => 0);
    expect(await first.do(key, work)).toEqual({ answer: answer(1), again: false });
    const second = await idempotencyFor(side, () => 1000);
    expect(await second.do(key, work)).toEqual({ answer: answer(1), again: true });
    expect(done).toBe(1);
  });

  it('is refused with other words, and while it is being done', async () => {
    const once = await idempotencyFor(memorySideStore(), () => 0);
    let finish = () => {};
    const slow = once.do(key, () => new Promise((resolve) => (finish = () => resolve(answer(1)))));
    await expect.poll(() => String(finish)).toContain('resolve');
    await expect(once.do(key, async () => answer(2))).rejects.toMatchObject({
      code: 'still-doing',
    });
    finish();
    await slow;
    await expect(once.do({ ...key, said: { a: 2 } }, async () => answer(2))).rejects.toMatchObject({
      code: 'key-used-otherwise',
    });
  });

  it('that failed may be tried again', async () => {
    const once = await idempotencyFor(memorySideStore(), () => 0);
    await expect(once.do(key, () => Promise.reject(new Error('full')))).rejects.toThrow('full');
    expect((await once.do(key, async () => answer(1))).again).toBe(false);
  });

  it('cut off in the middle is not done again blindly, unless the journal knows its key', async () => {
    const side = memorySideStore();
    const dying = await idempotencyFor(side, () => 0);
    void dying.do(key, () => new Promise(() => {}));
    void dying.do({ ...key, key: 'device:2', inJournal: true }, () => new Promise(() => {}));
    await expect.poll(async () => (await side.list('answer')).length).toBe(2);
    const next = await idempotencyFor(side, () => 1000);
    await expect(next.do(key, async () => answer(1))).rejects.toMatchObject({
      code: 'perhaps-done',
    });
    const again = { ...key, key: 'device:2', inJournal: true };
    expect((await next.do(again, async () => answer(1))).answer).toEqual(answer(1));
  });

  it('is forgotten after a day', async () => {
    const side = memorySideStore();
    const first = await idempotencyFor(side, () => 0);
    await first.do(key, async () => answer(1));
    await idempotencyFor(side, () => 25 * 60 * 60 * 1000);
    expect(await side.list('answer')).toEqual([]);
  });
});
