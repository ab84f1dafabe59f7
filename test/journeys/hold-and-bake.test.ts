import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { LABEL_FIRST } from '../../src/domain/cautions.ts';
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
