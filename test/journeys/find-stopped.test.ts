import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { Job } from '../../src/api/job-routes.ts';
import { done, ended, type Running, running } from '../server/running.ts';
import { DEMO } from './program.ts';

let here: Running;
let clayModelId: string;
beforeAll(async () => {
  here = await running();
  const text = readFileSync(DEMO[0], 'utf8');
  const call = { do: 'import', as: 'readings', fileName: 'tide-pool.csv', text } as const;
  await done(here.client, { ...call, newLine: 'Saltmarsh' });
  const { result } = await done(here.client, { do: 'learn', name: 'All of it' });
  clayModelId = String(result?.clayModelId);
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
});

/** Six of ten clays in 26 parts, all to be proven under three lights: minutes of work. */
const LONG = {
  do: 'find',
  aim: [52, 14, -22],
  mostClays: 6,
  parts: 26,
  viewing: { light: 'D50', observer: 10 },
  otherLights: ['A', 'FL11'],
  order: 'closest',
} as const;
const found = z.object({
  recipes: z.array(z.object({ dE00: z.number() })).min(1),
  proven: z.literal(false),
  settled: z.number().min(0).lt(1),
  endedBy: z.enum(['stop', 'time']),
});
const startLong = async (more: object = {}): Promise<Job> => {
  const body = { ...LONG, clayModelId, ...more } as never;
  return (await here.client.call('startJob', { body })).body;
};

describe('a search that is not let come to its end', () => {
  it('gives what it has when it is stopped, and says how far it came', async () => {
    const { id } = await startLong();
    const job = async () => (await here.client.call('getJob', { params: { id } })).body;
    await expect.poll(async () => (await job()).progress?.what).toBe('looking for recipes');
    const stopped = (await here.client.call('cancelJob', { params: { id } })).body;
    expect(stopped.state).toBe('cancelled');
    const { recipes, endedBy } = found.parse(stopped.result);
    expect(endedBy).toBe('stop');
    expect(recipes).toEqual([...recipes].sort((one, other) => one.dE00 - other.dE00));
    expect(stopped.says).toMatch(
      /^It was stopped before the search was finished: \d+(?:\.\d)? % of all recipes are tried or proven worse\. These are the best so far/,
    );
    expect(await job()).toEqual(stopped);
  });

  it('gives it when its time is over, and is done', async () => {
    const { id } = await startLong({ mostSeconds: 0.5 });
    const job = await ended(here.client, id);
    expect(job.state).toBe('done');
    expect(found.parse(job.result).endedBy).toBe('time');
    expect(job.says).toContain('Its time was over before the search was finished');
  });

  it('leaves its thread to the next', async () => {
    const short = { ...LONG, clayModelId, mostClays: 1, parts: 1 } as never;
    const { id } = (await here.client.call('startJob', { body: short })).body;
    const job = await ended(here.client, id);
    expect(job.result).toMatchObject({ proven: true, settled: 1 });
    expect(job.says).toBeUndefined();
  });
});
