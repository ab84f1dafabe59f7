import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { LABEL_FIRST } from '../../src/domain/cautions.ts';
import { done, type Running, running } from '../server/running.ts';
import { callHere } from './program.ts';

const place = mkdtempSync(join(tmpdir(), 'kneadwell hold '));
const folder = join(place, 'book');
afterAll(() => rmSync(place, { recursive: true, force: true }));

const onBook = ['--book', '--folder', folder];

async function kneadwell(...args: string[]) {
  const { code, out, err } = await callHere(args);
  return { code, out, err };
}

async function add(kind: string, ...fields: string[]) {
  const { code, err } = await kneadwell('add', kind, ...fields, '--folder', folder);
  expect(err).toBe('');
  expect(code).toBe(0);
}

async function answerOf(...args: string[]) {
  const { code, out, err } = await kneadwell(...args, ...onBook, '--json');
  expect(err).toBe('');
  expect(code).toBe(0);
  return JSON.parse(out);
}

const PETAL = ['hold', '--shape', 'petal 1.2 x 10 x 20 mm', '--push', '3'];

describe('a book of bend tests', () => {
  beforeAll(async () => {
    await add('line', 'name=Saltmarsh', 'bakeLowC=120', 'bakeHighC=135', 'minutesPer6Mm=20');
    await add('line', 'name=Brindle', 'bakeLowC=125', 'bakeHighC=145', 'minutesPer6Mm=30');
    await add('line', 'name=Lantern');
  });

  it('gives no number without a test, and names the tests to make', async () => {
    const answer = await answerOf(...PETAL);
    expect(answer.at).toBeUndefined();
    expect(answer.strain).toBeCloseTo(0.0135, 12);
    expect(answer.sentences[0]).toContain('no bend test yet');
    expect(answer.sentences[1]).toContain('100, 50, 25, 12, 0 %');
  });

  it('gives a chance with k of n, the exact bound and the label, once tests are recorded', async () => {
    const results: readonly (readonly [number, string])[] = [
      [1, 'no mark'],
      [1, 'no mark'],
      [0.5, 'no mark'],
      [0.5, 'fades'],
      [0.25, 'fades'],
      [0.25, 'fades'],
      [0, 'break'],
      [0, 'crack'],
    ];
    for (const [share, result] of results) {
      await add(
        'bend-test',
        'strongLine=Saltmarsh',
        'otherLine=Brindle',
        `strongShare=${share}`,
        'specimen.form=strip',
        'specimen.thicknessMm=1.5',
        'specimen.widthMm=10',
        'specimen.lengthMm=60',
        'action=ends together',
        `result=${result}`,
        'bakeName=first bake',
      );
    }
    const answer = await answerOf(...PETAL);
    expect(answer.pair).toEqual({ strong: 'Saltmarsh', other: 'Brindle' });
    expect(answer.tests).toBe(8);
    expect(answer.at.asHard).toBeGreaterThan(0);
    expect(answer.at.mostFailing).toBeGreaterThan(0);
    const { out } = await kneadwell(...PETAL, ...onBook);
    expect(out).toContain(LABEL_FIRST);
    expect(out).toContain('results at least as hard held');
    expect(out).toContain('Before any test, Kneadwell believes little');
    expect(out).toContain('safe as a toy');
    const share = await answerOf(...PETAL, '--share', '0');
    expect(share.at.proven).not.toBe('holds');
    expect(share.next).toHaveLength(2);
    expect(share.sentences.join(' ')).toContain('Make these two next');
  });

  it('takes what a test bends as what the part must take', async () => {
    const LIKE = ['hold', '--shape', 'petal 1.2 x 10 x 20 mm', '--like'];
    const ends = await answerOf(...LIKE, 'strip 1.5 x 10 x 60 mm, ends together');
    expect(ends.strain).toBeCloseTo(0.1055, 3);
    expect(ends.part).toBe(
      'petal 1.2 x 10 x 20 mm, bent as hard as strip 1.5 x 10 x 60 mm, ends together',
    );
    const rod = await answerOf(...LIKE, 'strip 1.5 x 10 x 60 mm, around a rod 6 mm');
    expect(rod.strain).toBeCloseTo(0.2, 12);
    const { err } = await kneadwell(...LIKE, 'a gentle bend', ...onBook);
    expect(err).toContain('is not a test');
  });

  it('says how near equal shares of the two lines handled, and what helped', async () => {
    await add('block', 'name=Kelp', 'line=Saltmarsh');
    await add('block', 'name=Dulse', 'line=Brindle');
    for (const written of ['R1 Reef: 2 Kelp + 2 Dulse', 'S1 Shore: 5 Kelp + 1 Dulse']) {
      const { code, err } = await kneadwell('add', written, '--folder', folder);
      expect([code, err]).toEqual([0, '']);
    }
    const rested = (helped: boolean) => `done=[{"what":"rested","minutes":600,"helped":${helped}}]`;
    await add('note', 'of=R1', 'feels=sticky', rested(true));
    await add('note', 'of=R1', 'feels=sticky, soft', rested(false));
    await add('note', 'of=S1', 'feels=crumbly');
    const answer = await answerOf(...PETAL);
    expect(answer.handling).toEqual([
      {
        lines: ['Brindle', 'Saltmarsh'],
        notes: 2,
        felt: { soft: 1, sticky: 2, crumbly: 0 },
        helped: [{ what: 'rested', helped: 1, tried: 2 }],
      },
    ]);
    const { out } = await kneadwell(...PETAL, ...onBook);
    expect(out).toContain('sticky in 2 of 2 notes. Rested: helped 1 of 2 times.');
  });

  it('refuses slips in plain words', async () => {
    const said = async (...args: string[]) => (await kneadwell('hold', ...args, ...onBook)).err;
    expect(await said('--shape', 'horn 3 x 60', '--push', '3')).toContain(
      'is not a shape with sizes',
    );
    expect(await said('--shape', 'petal 1.2 x 10', '--push', '3')).toContain('has 3 sizes');
    expect(await said('--shape', 'petal 1.2 x 10 x 20')).toContain('How far is missing');
    expect(await said(...PETAL.slice(1), '--strong', 'Saltmash')).toContain(
      'Did you mean Saltmarsh',
    );
    const { err } = await kneadwell(...PETAL);
    expect(err).toContain('add --book');
  });
});

describe('a plan of a bake', () => {
  const PLAN = ['bake', '--lines', 'Saltmarsh, Brindle', '--thickest', '8', '--on', 'tile'];

  it('has the common window, minutes and the cautions, and no dial of an oven never checked', async () => {
    const answer = await answerOf(...PLAN);
    expect(answer).toMatchObject({ kind: 'plan', window: { lowC: 125, highC: 135 } });
    expect(answer.dialC).toBeUndefined();
    expect(answer.risks).toContain('oven not measured');
    expect(answer.stages[0].minutes.high).toBeGreaterThan(60);
    // The middle of the window, by a thermometer: never below what a packet asks.
    expect(answer).toMatchObject({ meanC: 130, peakC: 135 });
    const { out } = await kneadwell(...PLAN, ...onBook);
    expect(out).toContain(LABEL_FIRST);
    expect(out).toContain('open the windows');
    expect(out).toContain('on a ceramic tile');
    expect(out).toContain('Aim at 130 °C at the clay, and never above 135 °C.');
    expect(out).toContain('Put a thermometer next to the clay');
  });

  it('sets the dial by a check of the oven', async () => {
    const readings = [20, 90, 136, 144, 142, 138, 142, 138].map((tempC, i) => ({
      minute: 5 * i,
      tempC,
    }));
    await add(
      'oven-check',
      'name=Small oven',
      'setTempC=130',
      `readings=${JSON.stringify(readings)}`,
    );
    const answer = await answerOf(...PLAN);
    expect(answer.oven).toMatchObject({
      name: 'Small oven',
      runs: 1,
      warmUpMinutes: 10,
      swingC: 4,
    });
    expect(answer.dialC + answer.oven.offsetC + answer.oven.swingC).toBeLessThanOrEqual(135);
    const hot = await answerOf(...PLAN, '--dial', '150');
    expect(hot.kind).toBe('too hot');
    const warm = await answerOf(...PLAN, '--dial', '140');
    expect(warm.risks).toEqual(expect.arrayContaining(['hot', 'dial above a packet']));
  });

  it('gives no temperature that no packet gives, and refuses slips in plain words', async () => {
    const silent = await answerOf('bake', '--lines', 'Saltmarsh, Lantern', '--thickest', '8');
    expect(silent).toMatchObject({ kind: 'no temperature', silent: ['Lantern'] });
    expect(JSON.stringify(silent.sentences)).not.toMatch(/Aim at/);
    const said = async (...args: string[]) => (await kneadwell('bake', ...args, ...onBook)).err;
    expect(await said('--lines', 'Saltmarch', '--thickest', '8')).toContain(
      'Did you mean Saltmarsh',
    );
    expect(await said('--lines', 'Saltmarsh')).toContain('No part is given');
    expect(await said('--lines', 'Saltmarsh', '--thickest', '0')).toContain('--thickest is "0"');
    expect(await said('--lines', 'Saltmarsh', '--parts', 'egg 3')).toContain(
      'not a part with its size',
    );
    expect(await said('--lines', 'Saltmarsh', '--thickest', '8', '--oven', 'Big')).toContain(
      'Ovens in the book: Small oven',
    );
  });
});

/** What is typed by slips, with words of the answer. */
const BAD_HOLD: readonly (readonly [shape: string, push: string, says: string])[] = [
  ['petal -1.2 x 10 x 20 mm', '3', 'not a shape with sizes'],
  ['petal 0 x 10 x 20 mm', '3', 'thickness of a petal cannot be 0'],
  ['petal 1.2 x 10 x 0 mm', '3', 'length of a petal cannot be 0'],
  ['petal thin x wide x long', '3', 'not a shape with sizes'],
  ['petal 1.2 x 10 x 1e9', '3', 'cannot be 1000000000'],
  ['tip 1 x 2 x 10 mm', '3', 'thicker than its root'],
  ['coil 3 x 4 x 5', '3', 'too narrow for its clay'],
  ['rod 3 x 60', '0', '--push'],
  ['rod 3 x 60', '-3', '--push'],
  ['rod 3 x 60', 'far', '--push'],
  ['', '3', '--shape'],
];
const BAD_BAKE: readonly (readonly [option: string, value: string, says: string])[] = [
  ['thickest', '0', '--thickest'],
  ['thickest', '-8', '--thickest'],
  ['thickest', 'thick', '--thickest'],
  ['thickest', '1e9', '--thickest'],
  ['parts', 'sheet 0', 'cannot be planned'],
  ['parts', 'ball 20 over foil 30', 'does not fit'],
  ['parts', 'sheet -6', 'not a part with its size'],
  ['dial', 'hot', '--dial'],
];

describe('bad input, at the command line', () => {
  it.each(BAD_HOLD)('hold refuses "%s" pushed by "%s"', async (shape, push, says) => {
    const { code, out, err } = await kneadwell('hold', '--shape', shape, '--push', push, ...onBook);
    expect(err).toContain(says);
    expect([code, out]).toEqual([2, '']);
  });

  it.each(BAD_BAKE)('bake refuses --%s "%s"', async (option, value, says) => {
    const thickest = option === 'dial' ? ['--thickest', '8'] : [];
    const call = ['bake', '--lines', 'Saltmarsh', ...thickest, `--${option}`, value, ...onBook];
    const { code, out, err } = await kneadwell(...call);
    expect(err).toContain(says);
    expect([code, out]).toEqual([2, '']);
  });
});

describe('bad input, over HTTP', () => {
  let run: Running;
  beforeAll(async () => {
    run = await running();
    const body = { name: 'Saltmarsh', bakeLowC: 120, bakeHighC: 135, status: 'current' } as const;
    await run.client.call('makeRecord', { body: { kind: 'line', body } });
  });
  afterAll(() => run?.end());

  const petal = { form: 'petal', thicknessMm: 1.2, widthMm: 10, lengthMm: 20 };
  it.each([
    { do: 'hold', shape: { ...petal, thicknessMm: 0 }, push: 3 },
    { do: 'hold', shape: { ...petal, lengthMm: -20 }, push: 3 },
    { do: 'hold', shape: { ...petal, widthMm: 'wide' }, push: 3 },
    { do: 'hold', shape: { ...petal, form: 'horn' }, push: 3 },
    { do: 'hold', shape: petal, push: -3 },
    { do: 'hold', shape: petal, push: 'far' },
    { do: 'hold', shape: petal, push: 3, share: 1.5 },
    { do: 'hold', shape: petal, push: 3, wanted: 2 },
    { do: 'bake', lines: ['Saltmarsh'], thickest: 0 },
    { do: 'bake', lines: ['Saltmarsh'], thickest: -8 },
    { do: 'bake', lines: ['Saltmarsh'], thickest: 'thick' },
    { do: 'bake', lines: 'Saltmarsh', thickest: 8 },
    { do: 'bake', lines: ['Saltmarsh'], thickest: 8, on: 'fire' },
  ])('a call that no schema allows is refused: %j', async (call) => {
    await expect(done(run.client, call)).rejects.toMatchObject({
      kind: 'bad-input',
      detail: expect.stringContaining('does not fit'),
    });
  });

  it.each([
    [{ do: 'hold', shape: 'petal 0 x 10 x 20 mm', push: 3 }, 'cannot be 0'],
    [{ do: 'hold', shape: 'petal thin', push: 3 }, 'not a shape with sizes'],
    [{ do: 'hold', shape: petal }, 'How far is missing'],
    [{ do: 'hold', shape: petal, action: 'stretched', push: 3 }, 'cannot be'],
    [{ do: 'hold', shape: petal, like: 'gently' }, 'not a test'],
    [{ do: 'bake', lines: ['Nobody'], thickest: 8 }, 'no line called Nobody'],
    [{ do: 'bake', lines: ['Saltmarsh'] }, 'No part is given'],
    [{ do: 'bake', lines: ['Saltmarsh'], parts: ['egg 3'] }, 'not a part with its size'],
  ] as const)('a job that makes no sense says why: %j', async (call, says) => {
    const job = await done(run.client, call);
    expect(job.state).toBe('failed');
    expect(JSON.stringify(job)).toContain(says);
  });

  it('answers both when they make sense, with the safety text', async () => {
    const holding = await done(run.client, { do: 'hold', shape: petal, push: 3 });
    expect(JSON.stringify(holding)).toContain('no bend test yet');
    const baking = await done(run.client, { do: 'bake', lines: ['Saltmarsh'], thickest: 8 });
    expect(JSON.stringify(baking)).toContain(LABEL_FIRST);
    expect(run.troubles).toEqual([]);
  });
});
