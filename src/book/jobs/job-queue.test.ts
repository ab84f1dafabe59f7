import { describe, expect, it } from 'vitest';
import { memorySideStore } from '../../../test/conformance/memory-side-store.ts';
import type { Job, JobCall } from '../../api/job-routes.ts';
import { AppError } from '../../core/errors.ts';
import type { ServerStateStore } from '../server-state.ts';
import { type JobQueue, type JobRunner, type JobRunners, jobQueue } from './job-queue.ts';

const VERIFY: JobCall = { do: 'verify' };

/** A job queue whose jobs all call `run`. */
async function sessionOf(side: ServerStateStore, run: JobRunner, prefix = 'j'): Promise<JobQueue> {
  let ms = Date.UTC(2026, 0, 1);
  let names = 0;
  const every = new Proxy({}, { get: () => run }) as JobRunners;
  return jobQueue({
    side,
    runners: every,
    nowEpochMs: () => (ms += 1000),
    newId: () => `${prefix}-${String(++names).padStart(4, '0')}`,
    problemOf: (fault) =>
      ({
        code: (fault as AppError).code,
        more: (fault as AppError).more,
      }) as NonNullable<Job['problem']>,
  });
}

const settled = async (queue: JobQueue, id: string) => {
  const underWay = () => ['waiting', 'running'].includes(queue.get(id).state);
  await expect.poll(underWay, { interval: 1 }).toBe(false);
  return queue.get(id);
};

/** Runs until it is stopped. */
const endless: JobRunner = (_, { signal }) =>
  new Promise((_resolve, reject) => signal.addEventListener('abort', () => reject(signal.reason)));

describe('jobs', () => {
  it('end with an answer, or with what was refused', async () => {
    const queue = await sessionOf(memorySideStore(), async (call) => {
      if (call.do === 'backup') {
        throw new AppError({ code: 'disk-full', kind: 'unavailable', detail: '', hint: '' });
      }
      return { found: 3 };
    });
    const good = await settled(queue, (await queue.start(VERIFY)).id);
    expect(good).toMatchObject({ state: 'done', result: { found: 3 } });
    const bad = await settled(queue, (await queue.start({ do: 'backup' })).id);
    expect(bad).toMatchObject({ state: 'failed', problem: { code: 'disk-full' } });
    expect(queue.list({ limit: 10 }).map(({ id }) => id)).toEqual([bad.id, good.id]);
    expect(queue.list({ limit: 10 })[1]).not.toHaveProperty('result');
  });

  it('can be stopped while they run and while they wait', async () => {
    const queue = await sessionOf(memorySideStore(), endless);
    const ids: string[] = [];
    for (let i = 0; i < 4; i++) ids.push((await queue.start(VERIFY)).id);
    await expect.poll(() => queue.get(ids[1]).state).toBe('running');
    expect(queue.get(ids[3]).state).toBe('waiting');
    expect((await queue.cancel(ids[3])).state).toBe('cancelled');
    expect((await queue.cancel(ids[0])).state).toBe('cancelled');
    await expect.poll(() => queue.get(ids[2]).state).toBe('running');
    await queue.stop();
  });

  it('keep what they had when they were stopped, where it is of use', async () => {
    const queue = await sessionOf(memorySideStore(), (_, { signal, fallsShort }) => {
      return new Promise((resolve) =>
        signal.addEventListener('abort', () => {
          fallsShort('Half of it.');
          resolve({ half: true });
        }),
      );
    });
    const { id } = await queue.start(VERIFY);
    await expect.poll(() => queue.get(id).state).toBe('running');
    const job = await queue.cancel(id);
    expect(job).toMatchObject({ state: 'cancelled', result: { half: true }, says: 'Half of it.' });
  });

  it('are done, not cancelled, where the stop came after the work', async () => {
    const queue = await sessionOf(memorySideStore(), (_, { signal }) => {
      return new Promise((resolve) =>
        signal.addEventListener('abort', () => resolve({ kept: true })),
      );
    });
    const { id } = await queue.start(VERIFY);
    await expect.poll(() => queue.get(id).state).toBe('running');
    expect(await queue.cancel(id)).toMatchObject({ state: 'done', result: { kept: true } });
  });

  it('that were running when the program was killed are never started again by themselves', async () => {
    const side = memorySideStore();
    const first = await sessionOf(side, endless);
    const { id } = await first.start(VERIFY);
    await expect.poll(async () => ((await side.get('job', id)) as Job).state).toBe('running');
    // No stop: the process is gone.
    let runs = 0;
    const count: JobRunner = async () => ({ run: ++runs });
    const second = await sessionOf(side, count, 'k');
    expect(second.get(id)).toMatchObject({ state: 'lost', endedAt: expect.any(String) });
    expect(second.get(id).lostAt).toHaveLength(1);
    expect(second.get(id).says).toContain('Start it again');
    const third = await sessionOf(side, count, 'l');
    // Asked for again, the same work is a job of its own, and the only one that was done.
    await settled(third, (await third.start(VERIFY)).id);
    expect([third.get(id).state, runs]).toEqual(['lost', 1]);
  });

  it('stopped with the program go on at its next start, and count as nothing lost', async () => {
    const side = memorySideStore();
    const first = await sessionOf(side, endless);
    const { id } = await first.start(VERIFY);
    await expect.poll(() => first.get(id).state).toBe('running');
    await first.stop();
    const second = await sessionOf(side, async () => ({}));
    expect((await settled(second, id)).lostAt).toEqual([]);
  });

  it('are refused past as many as can wait, and forgotten past as many as are kept', async () => {
    const waiting = await sessionOf(memorySideStore(), endless);
    let refused: unknown;
    for (let i = 0; i < 60 && refused === undefined; i++) {
      await waiting.start(VERIFY).catch((fault: unknown) => {
        refused = fault;
      });
    }
    expect(refused).toMatchObject({ code: 'too-much-work', retry: true });
    await waiting.stop();

    const side = memorySideStore();
    const queue = await sessionOf(side, async () => ({}));
    for (let i = 0; i < 230; i++) await settled(queue, (await queue.start(VERIFY)).id);
    expect((await side.list('job')).length).toBeLessThanOrEqual(201);
    expect(() => queue.get('j-0001')).toThrow(/no job/);
  });

  it('go on when somebody who hears of them fails', async () => {
    const queue = await sessionOf(memorySideStore(), async () => ({}));
    queue.listen(() => {
      throw new Error('a listener');
    });
    expect((await settled(queue, (await queue.start(VERIFY)).id)).state).toBe('done');
  });

  it('keep no file they were given once they have ended', async () => {
    const side = memorySideStore();
    const queue = await sessionOf(side, async (call) => ({ saw: (call as { text: string }).text }));
    const call = { do: 'import', as: 'shorthand', fileName: 'page', text: 'K7: 3G' } as const;
    const job = await settled(queue, (await queue.start(call)).id);
    expect(job.result).toEqual({ saw: 'K7: 3G' });
    expect(JSON.stringify(((await side.get('job', job.id)) as Job).call)).not.toContain('3G');
  });

  it('are news of a few words, and written once with their file, however much was given and refused', async () => {
    const plain = memorySideStore();
    let written = 0;
    const side: ServerStateStore = {
      ...plain,
      put(space, key, value) {
        written += JSON.stringify(value).length;
        return plain.put(space, key, value);
      },
    };
    const text = 'N '.repeat(2 ** 19);
    const errors = Array.from({ length: 1000 }, (_, i) => ({ line: i, message: 'x'.repeat(400) }));
    const queue = await sessionOf(side, async (call) => {
      expect((call as { text: string }).text).toBe(text);
      throw new AppError({ code: 'no', kind: 'bad-input', detail: '', hint: '', more: { errors } });
    });
    const heard: number[] = [];
    queue.listen((news) => void heard.push(JSON.stringify(news).length));
    const call = { do: 'import', as: 'shorthand', fileName: 'page', text } as const;
    const started = await queue.start(call);
    expect(JSON.stringify(started).length).toBeLessThan(1000);
    const ended = await settled(queue, started.id);
    expect(ended.problem?.more).toEqual({ errors });
    expect(heard.length).toBeGreaterThan(2);
    expect(Math.max(...heard)).toBeLessThan(200);
    expect(JSON.stringify(queue.list({ limit: 10 })).length).toBeLessThan(1000);
    expect(written).toBeLessThan(text.length + JSON.stringify(errors).length + 5000);
  });

  it('of version 0.1 that had not ended are lost, in words, and the others stay', async () => {
    const side = memorySideStore();
    const of = { createdAt: '2026-01-01T00:00:00.000Z', lostAt: [] };
    const former = {
      do: 'seek',
      clayModelId: 'm',
      aim: [50, 0, 0],
      parts: 12,
      mostParents: 3,
      giveUp: 'hue',
    };
    const ball = [{ parent: 'Kelp', parts: 1 }];
    await side.put('job', 'a', { ...of, id: 'a', call: former, state: 'waiting' });
    await side.put('job', 'b', { ...of, id: 'b', call: former, state: 'running' });
    const trial = { do: 'try', clayModelId: 'm', aim: [50, 0, 0], trials: [{ balls: [ball] }] };
    await side.put('job', 'c', { ...of, id: 'c', call: trial, state: 'done', result: { n: 1 } });
    await side.put('job', 'd', { ...of, id: 'd', call: { do: 'dig' }, state: 'waiting' });
    const done: string[] = [];
    const queue = await sessionOf(side, async (call) => {
      done.push(call.do);
      return {};
    });
    for (const id of ['a', 'b']) {
      expect(queue.get(id)).toMatchObject({
        call: { do: 'find', mostClays: 3 },
        state: 'lost',
        says: expect.stringContaining('Start it again'),
      });
    }
    expect(queue.get('c')).toMatchObject({ state: 'done', result: { n: 1 } });
    expect(queue.get('c').call).toMatchObject({ trials: [{ balls: [[{ clay: 'Kelp' }]] }] });
    expect(() => queue.get('d')).toThrow('no job d');
    expect(queue.list({ limit: 10 })).toHaveLength(3);
    expect(done).toEqual([]);
  });
});
