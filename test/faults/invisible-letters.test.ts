import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { upgradeRecord } from '../../src/domain/upgrade-record.ts';
import { callHere } from '../journeys/program.ts';
import { done, type Running, running } from '../server/running.ts';

/** Every mark that turns the direction of writing, and some others nobody can see. */
const HIDDEN = [
  0x202a, 0x202b, 0x202c, 0x202d, 0x202e, 0x2066, 0x2067, 0x2068, 0x2069, 0x200e, 0x200f, 0x061c,
  0x200b, 0x2060, 0xfeff, 0x00ad, 0x2028, 0x2029, 0xe0041,
].map((code) => String.fromCodePoint(code));
/** Reads "Foam (old)" on a screen that obeys the marks. */
const NAME = 'Fo\u202e\u2066am (o\u200fld)';
const PLAIN = 'Foam (old)';

let here: Running;
let other: string;
let lineId: string;
beforeAll(async () => {
  here = await running();
  other = mkdtempSync(join(tmpdir(), 'kneadwell-hidden-'));
  const body = { kind: 'line', body: { name: NAME, status: 'current' } } as const;
  lineId = (await here.client.call('makeRecord', { body })).body.id;
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
  rmSync(other, { recursive: true, force: true });
});

const nameOf = async (id: string) => {
  const { body } = await here.client.call('getRecord', { params: { id } });
  return (body.body as { name: string }).name;
};
const collection = (name: string) => ({ kind: 'collection', body: { name } }) as const;

describe('letters nobody can see', () => {
  it('are taken out of names that come from the page or a program', async () => {
    expect(await nameOf(lineId)).toBe(PLAIN);
    for (const hidden of HIDDEN) {
      const { body } = await here.client.call('makeRecord', {
        body: collection(`Re${hidden}ef ${hidden}`),
      });
      expect([hidden.codePointAt(0)?.toString(16), await nameOf(body.id)]).toEqual([
        hidden.codePointAt(0)?.toString(16),
        'Reef',
      ]);
    }
  });

  it('leave joiners, which are letters of some languages', async () => {
    const name = '\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645';
    const { body } = await here.client.call('makeRecord', { body: collection(name) });
    expect(await nameOf(body.id)).toBe(name);
  });

  it('are no name alone, and the refusal says so', async () => {
    await expect(
      here.client.call('makeRecord', { body: collection('\u202e\u200f') }),
    ).rejects.toMatchObject({ code: 'does-not-fit' });
  });

  it('do not come back by undo and redo, and are not in the history', async () => {
    const { body } = await here.client.call('makeRecord', { body: collection('Kelp') });
    const params = { id: body.id };
    await here.client.call('putRecord', { params, body: collection(NAME) }, { version: 1 });
    await here.client.call('undo', { body: {} });
    expect(await nameOf(body.id)).toBe('Kelp');
    await here.client.call('redo', { body: {} });
    expect(await nameOf(body.id)).toBe(PLAIN);
    const history = await here.client.call('recordHistory', { params, query: {} });
    expect(JSON.stringify(history.body)).not.toMatch(/[\u202a-\u202e\u2066-\u2069\u200e\u200f]/);
  });

  it('are taken out on the command line', async () => {
    const at = ['--folder', other, '--json'];
    const { code, out } = await callHere(['add', 'line', `name=${NAME}`, ...at]);
    expect(code).toBe(0);
    expect(out).toContain(PLAIN);
  });

  it('are taken out of an export that comes in, by program and by page', async () => {
    const record = {
      kind: 'collection',
      id: 'from-export',
      version: 1,
      createdAt: '2026-01-01T00:00:01.000Z',
      changedAt: '2026-01-01T00:00:01.000Z',
      body: { name: NAME },
    };
    const { out } = await callHere(['export', '--out', join(other, 'x.json'), '--folder', other]);
    expect(out).toContain('x.json');
    const { readFileSync } = await import('node:fs');
    const exported = JSON.parse(readFileSync(join(other, 'x.json'), 'utf8'));
    const text = JSON.stringify({ ...exported, records: [record] });
    const path = join(other, 'hidden.json');
    writeFileSync(path, text);
    expect((await callHere(['import', path, '--folder', other])).code).toBe(0);
    const shown = await callHere(['show', 'from-export', '--json', '--folder', other]);
    expect(shown.out).toContain(PLAIN);
    const job = await done(here.client, { do: 'import', as: 'export', fileName: 'x', text });
    expect(job.state).toBe('done');
    expect(await nameOf('from-export')).toBe(PLAIN);
  });

  it('are refused with their place in notes and in files of readings', async () => {
    const notes = { do: 'import', as: 'shorthand', fileName: 'page', text: `K1: 2 Fo\u202eam` };
    const job = await done(here.client, notes);
    expect(job.problem?.detail).toContain('page, line 1, column 9: This character cannot be read.');
    const text = 'tile,of,L,a,b\nX1,Fo\u202eam,40,-20,15\n';
    const readings = { do: 'import', as: 'readings', fileName: 'day.csv', text };
    expect((await done(here.client, readings)).problem?.detail).toContain('day.csv, line 2');
  });

  it('are taken out of books and exports of version 0.1', () => {
    const old = { kind: 'label', id: 'a', body: { name: NAME }, ...JSON.parse('{"binnedAt":"x"}') };
    expect(upgradeRecord(old)).toEqual({
      kind: 'collection',
      id: 'a',
      body: { name: PLAIN },
      deletedAt: 'x',
    });
  });
});
