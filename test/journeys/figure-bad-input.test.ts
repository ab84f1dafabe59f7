import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { done, type Running, running } from '../server/running.ts';
import { callHere, demoClayFile, demoStudio } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell bad figure '));
const clay = join(folder, 'clay.json');
const bare = join(folder, 'bare.csv');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const BALLS = '3 ball 8 of Kelp';

describe('bad input, at the command line', () => {
  beforeAll(async () => {
    await demoClayFile(clay);
    writeFileSync(bare, 'clay,grams\nKelp,10\n');
  });

  /** What is typed by slips, with words of the answer. */
  it.each([
    [['figure', '--shape', 'ball -3 of Kelp'], 'The diameter of a ball cannot be -3.'],
    [['figure', '--shape', 'ball 0 of Kelp'], 'cannot be 0'],
    [['figure', '--shape', '-2 ball 8 of Kelp'], 'There cannot be -2 of a part.'],
    [['figure', '--shape', 'amount 1e9 g of Kelp'], 'The grams of an amount cannot be'],
    [['figure', '--shape', 'ball 8 of Kelpp'], 'Did you mean Kelp?'],
    [['figure', '--shape', 'ball 8 of Kelp painted 300,0,0'], 'must be between 0 and 100'],
    [['figure', '--shape', BALLS, '--cutter', '-4'], '--cutter'],
    [['figure', '--shape', BALLS, '--spare', '-1'], '--spare'],
    [['figure', '--shape', BALLS, '--copies', '0.5'], '--copies'],
    [['buying-list', '--aim', '300,0,0'], 'must be between 0 and 100'],
    [['buying-list', '--aim', 'Kelp', '--grams', '-5'], '--grams'],
    [['buying-list', '--aim', 'Kelp', '--waste', '2'], '--waste'],
    [['buying-list', '--figure', 'Sea slug in the weed'], 'is a figure of a book'],
    [['buying-list', '--palette', 'Low tide'], 'is a palette of a book'],
    [['buying-list', '--shape', 'ball -3 of Kelp'], 'The diameter of a ball cannot be -3.'],
    [['buy-or-mix', '--tolerance', '-1'], '--tolerance'],
    [['buy-or-mix', '--always', 'Kelpp'], 'Did you mean Kelp?'],
    [['buy-or-mix', '--always', 'Kelp', '--never', 'Kelp'], 'always bought and as never bought'],
  ])('is refused with the reason: %j', async ([verb = '', ...options], says) => {
    const { code, out, err } = await callHere([verb, clay, ...options]);
    expect(err).toContain(says);
    expect([code, out]).toEqual([2, '']);
  });

  it('leaves out what cannot be planned, and plans the rest', async () => {
    const shapes = ['--shape', 'log -3 x 20 of Kelp', '--shape', BALLS];
    const { code, out } = await callHere(['figure', clay, ...shapes, '--stock', bare]);
    expect(code).toBe(0);
    expect(out).toContain('left out: log -3 x 20 of Kelp: The diameter of a log cannot be -3.');
    expect(out).toContain('3 ball');
    expect(out).toContain('The density of Kelp is not known: 1.4 g/cm3 is taken');
    expect(out).toContain('There is no price for Kelp');
    const list = await callHere([
      ...['buying-list', clay, '--stock', bare, '--tolerance', '7'],
      ...['--aim', '300,0,0', '--aim', 'Kelp'],
    ]);
    expect(list.code).toBe(0);
    expect(list.out).toContain("The aim's L is 300");
    expect(list.out).toContain('No price is known, so the list has the fewest packages.');
    expect(list.out).toMatch(/^ {2}Kelp +Kelp +0.0$/m);
  });
});

describe('bad input, over HTTP', () => {
  let run: Running;
  let clayModelId: string;
  beforeAll(async () => {
    const studio = join(folder, 'studio');
    await demoStudio(studio);
    const book = join(studio, 'demo');
    await callHere(['change', 'Foam', 'price.currency=USD', '--folder', book]);
    run = await running({}, book);
    const { body } = await run.client.call('listRecords', { query: { kind: 'clay-model' } });
    clayModelId = body.records[0]?.id ?? '';
  });
  afterAll(() => run?.end());

  it.each([
    { do: 'figure', shapes: [BALLS], cutterMm: -4 },
    { do: 'figure', shapes: [BALLS], copies: 0 },
    { do: 'figure', shapes: 'a ball' },
    { do: 'buying-list', aims: [[300, 0]], grams: 20 },
    { do: 'buying-list', aims: ['Kelp'], grams: -20 },
    { do: 'buying-list', aims: ['Kelp'], budgetMinor: -1 },
    { do: 'buy-or-mix', tolerance: 0 },
    { do: 'buy-or-mix', goal: 'best' },
  ])('a call that no schema allows is refused: %j', async (call) => {
    await expect(done(run.client, { clayModelId, ...call })).rejects.toMatchObject({
      kind: 'bad-input',
      detail: expect.stringContaining('does not fit'),
    });
  });

  it.each([
    [{ do: 'figure', shapes: ['ball -3 of Kelp'] }, 'cannot be -3'],
    [{ do: 'figure', shapes: [{ count: -1, shape: 'ball 8', colour: 'Kelp' }] }, 'cannot be -1'],
    [{ do: 'figure' }, 'has no shapes yet'],
    [{ do: 'buying-list', aims: ['300,0,0'] }, 'must be between 0 and 100'],
    [{ do: 'buying-list' }, 'No colour is wanted.'],
    [{ do: 'buy-or-mix', always: ['Kelp'], never: ['Kelp'] }, 'never bought'],
  ])('a job that makes no sense says why: %j', async (call, says) => {
    const job = await done(run.client, { clayModelId, ...call });
    expect(job.state).toBe('failed');
    expect(JSON.stringify(job)).toContain(says);
  });

  it('adds up no two currencies, and plans the rest', async () => {
    const shapes = ['log -3 x 20 of Kelp', '12 ball 20 of 3 Kelp + 1 Foam'];
    const planned = await done(run.client, { clayModelId, do: 'figure', shapes });
    expect(planned.result).toMatchObject({
      batches: [{ colour: '3 Kelp + 1 Foam' }],
      leftOut: [{ sentence: expect.stringContaining('cannot be -3') }],
      cost: {},
    });
    expect(JSON.stringify(planned.result)).toContain('EUR and USD, which cannot be added up');
    const aims = ['3 Kelp + 1 Foam'];
    const list = await done(run.client, { clayModelId, do: 'buying-list', aims, mostClays: 2 });
    expect(JSON.stringify(list.result)).toContain('so the list has the fewest packages');
    expect(list.result).not.toHaveProperty('costMinor');
    const piles = await done(run.client, { clayModelId, do: 'buy-or-mix', goal: 'cheapest' });
    expect(piles.result).toMatchObject({
      goal: 'fewest',
      notes: [expect.stringContaining('Prices are in EUR and USD')],
    });
    expect(run.troubles).toEqual([]);
  });
});
