import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChangeEvent } from '../../src/api/book-routes.ts';
import { followEvents } from '../../src/client/event-stream.ts';
import { AppError } from '../../src/core/errors.ts';
import type { BookStep } from '../../src/domain/records/change.ts';
import { block, line, mix, reading, tile } from '../conformance/book-maker.ts';
import { done, ended, type Running, rawCall, running } from '../server/running.ts';

let here: Running;
beforeAll(async () => {
  here = await running();
});
afterAll(async () => {
  expect(here.troubles).toEqual([]);
  await here.end();
});

const change = (what: string, ...steps: readonly BookStep[]) =>
  here.client.call('makeChange', { body: { what, steps: steps as never } });

const refused = async (call: Promise<unknown>) => {
  const fault = await call.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(fault).toBeInstanceOf(AppError);
  return fault as AppError;
};

describe('the book over HTTP', () => {
  it('keeps, changes by the version seen, bins, restores, undoes and tells the history', async () => {
    const { client } = here;
    const body = { kind: 'line', body: { name: 'Brindle', status: 'current' } } as const;
    const made = await client.call('makeRecord', { body });
    const params = { id: made.body.id };
    expect(made.status).toBe(201);
    expect(made.etag).toBe('"1"');
    const renamed = { kind: 'line', body: { name: 'Brindle soft', status: 'current' } } as const;
    const put = await client.call('putRecord', { params, body: renamed }, { version: 1 });
    expect(put.body.version).toBe(2);

    const stale = await refused(client.call('putRecord', { params, body }, { version: 1 }));
    expect(stale.code).toBe('stale-write');
    expect(stale.more).toMatchObject({ yourVersion: 1, current: { version: 2 } });
    const silent = await refused(client.call('putRecord', { params, body }));
    expect(silent.code).toBe('say-which-version');

    expect(
      (await client.call('binRecord', { params }, { version: 2 })).body.deletedAt,
    ).toBeDefined();
    const bin = await client.call('listRecords', { query: { bin: 'true', kind: 'line' } });
    expect(bin.body.records.map(({ id }) => id)).toContain(params.id);
    await client.call('restoreRecord', { params }, { version: 3 });
    await client.call('undo', { body: {} });
    expect((await client.call('getRecord', { params })).body.deletedAt).toBeDefined();
    await client.call('redo', { body: {} });
    const { steps } = (await client.call('recordHistory', { params, query: {} })).body;
    expect(steps.map(({ group }) => group.sort)).toEqual([
      'redo',
      'undo',
      'change',
      'change',
      'change',
      'change',
    ]);
  });

  it('answers 304 where nothing changed, RFC 9110 section 13.1.2', async () => {
    const { client } = here;
    await change('Kept', line('salt', 'Saltmarsh'));
    for (const [name, input] of [
      ['getRecord', { params: { id: 'salt' } }],
      ['listRecords', { query: { kind: 'line' } }],
      ['search', { query: { text: 'saltmarsh' } }],
    ] as const) {
      const first = await client.call(name, input as never);
      const again = await client.call(name, input as never, { known: first.etag! });
      expect(again.status).toBe(304);
    }
    const before = await client.call('listRecords', { query: { kind: 'line' } });
    await change('Kept', line('other', 'Other'));
    const after = await client.call(
      'listRecords',
      { query: { kind: 'line' } },
      { known: before.etag! },
    );
    expect(after.status).toBe(200);
  });

  it('does what a key stands for once, and refuses the key for anything else', async () => {
    const { client } = here;
    const body = { kind: 'collection', body: { name: 'Idempotency' } } as const;
    const one = await client.call('makeRecord', { body }, { key: 'k-1' });
    const two = await client.call('makeRecord', { body }, { key: 'k-1' });
    expect(two.body.id).toBe(one.body.id);
    expect(two.etag).toBe('"1"');
    const other = { kind: 'collection', body: { name: 'Twice' } } as const;
    const fault = await refused(client.call('makeRecord', { body: other }, { key: 'k-1' }));
    expect(fault.code).toBe('key-used-otherwise');
    // Two undoes with one key undo one change.
    await client.call('makeRecord', { body: other });
    const undone = await client.call('undo', { body: {} }, { key: 'k-2' });
    expect((await client.call('undo', { body: {} }, { key: 'k-2' })).body.group.seq).toBe(
      undone.body.group.seq,
    );
  });

  it('tells a request that does not fit by field, with a pointer, RFC 9457 and RFC 6901', async () => {
    const sent = { what: 'x', steps: [block('kelp', 'salt'), mix('m', [['block', 'kelp', 0]])] };
    const answer = await rawCall(`${here.server.url}/api/v1/changes`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(sent),
    });
    expect(answer.status).toBe(400);
    expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/);
    const problem = JSON.parse(answer.text);
    expect(problem).toMatchObject({
      type: 'about:blank',
      title: 'Bad Request',
      status: 400,
      code: 'does-not-fit',
      fields: [
        {
          in: 'body',
          pointer: '#/steps/1/body/parts/0/parts',
          detail: expect.stringMatching(/^it should be at least/),
        },
      ],
    });
    expect(problem.hint).not.toBe('');
  });

  it('pages through a list while it changes, without losing or repeating one', async () => {
    const names = Array.from({ length: 25 }, (_, i) => `page-${String(i).padStart(2, '0')}`);
    const label = (id: string) =>
      ({ do: 'put', kind: 'collection', id, body: { name: id } }) as const;
    await change('Kept', ...names.map(label));
    const seen: string[] = [];
    let cursor: string | undefined;
    let page = 0;
    do {
      const query = {
        kind: 'collection',
        limit: 7,
        ...(cursor === undefined ? {} : { cursor }),
      } as const;
      const { body } = await here.client.call('listRecords', { query });
      seen.push(...body.records.map(({ id }) => id));
      cursor = body.cursor;
      // One before and one behind the place where the next page begins.
      await change('Kept', label(`a-${page}`), label(`z-${page++}`));
    } while (cursor !== undefined);
    expect(seen.filter((id) => names.includes(id))).toEqual(names);
    expect(new Set(seen).size).toBe(seen.length);
  });

  it('keeps a photo as it came, and gives the same bytes back', async () => {
    const { client } = here;
    const bytes = await sharp({
      create: { width: 60, height: 40, channels: 3, background: { r: 90, g: 120, b: 60 } },
    })
      .jpeg()
      .toBuffer();
    const kept = await client.call(
      'savePhoto',
      { query: { name: 'Tray one' }, body: bytes },
      { mediaType: 'image/jpeg' },
    );
    expect(kept.body).toMatchObject({
      kind: 'photo',
      body: { widthPx: 60, heightPx: 40, bytes: bytes.length, name: 'Tray one' },
    });
    const back = await client.call('photoBytes', { params: { id: kept.body.id } });
    expect(Buffer.from(back.body).equals(bytes)).toBe(true);
    expect(back.mediaType).toBe('image/jpeg');
    const again = await client.call(
      'photoBytes',
      { params: { id: kept.body.id } },
      { known: back.etag! },
    );
    expect(again.status).toBe(304);
  });

  it('tells other pages of every change in order, and what was missed meanwhile', async () => {
    const { client } = here;
    const { seq } = (await client.call('countRecords', {})).body;
    await change('Missed', line('missed', 'Missed'));
    const heard: ChangeEvent[] = [];
    const stop = new AbortController();
    let opened = () => {};
    const open = new Promise<void>((resolve) => {
      opened = resolve;
    });
    const following = followEvents(
      client.options,
      { change: (event) => heard.push(event), state: (state) => state === 'open' && opened() },
      { after: seq, signal: stop.signal },
    );
    await open;
    await Promise.all([change('One', line('live-1', 'One')), change('Two', line('live-2', 'Two'))]);
    await expect.poll(() => heard.length).toBe(3);
    stop.abort();
    await following;
    expect(heard.map(({ group }) => group.seq)).toEqual([seq + 1, seq + 2, seq + 3]);
    expect(heard[0].records).toEqual([{ kind: 'line', id: 'missed', version: 1, deleted: false }]);
  });

  it('learns, predicts, finds and keeps: the main job, on the book', async () => {
    const { client } = here;
    const labs: Record<string, readonly [number, number, number]> = {
      foam: [94, -1, 3],
      kelp: [38, -22, 20],
      coral: [55, 45, 30],
      ink: [22, 0, -2],
    };
    const half = ([l, a, b]: readonly [number, number, number]) =>
      [l + (94 - l) * 0.45, a * 0.6, b * 0.6] as const;
    const steps = [line('tide', 'Tide')];
    for (const [name, lab] of Object.entries(labs)) {
      steps.push(block(`t-${name}`, 'tide', { name }));
      steps.push({
        ...tile(`tile-${name}`, 'unused', {
          of: { kind: 'block', id: `t-${name}` },
          code: `W${name}`,
        }),
      } as BookStep);
      steps.push(reading(`read-${name}`, `tile-${name}`, lab));
      if (name === 'foam') continue;
      const parts = [
        { of: { kind: 'block' as const, id: `t-${name}` }, parts: 1 },
        { of: { kind: 'block' as const, id: 't-foam' }, parts: 3 },
      ];
      steps.push({ ...tile(`tint-${name}`, 'unused', { of: { parts } }) } as BookStep);
      steps.push(reading(`read-tint-${name}`, `tint-${name}`, half(lab)));
    }
    await change('Read four clays', ...steps);
    const blockIds = Object.keys(labs).map((name) => `t-${name}`);
    const learned = await done(client, { do: 'learn', name: 'Tide pool', blockIds });
    expect(learned.problem).toBeUndefined();
    expect(learned.state).toBe('done');
    const id = learned.result!.clayModelId as string;
    const model = (await client.call('getRecord', { params: { id } })).body;
    expect(model).toMatchObject({ kind: 'clay-model' });
    if (model.kind !== 'clay-model') throw new Error('no clay model');
    expect(model.body.clays.map(({ blockId }) => blockId).sort()).toEqual(blockIds.sort());
    expect(model.body.learnedFrom).toHaveLength(7);

    const known = (await client.call('inspectClay', { params: { id }, query: {} })).body;
    expect(known.clays).toHaveLength(4);
    const parts = [
      { of: { kind: 'block' as const, id: 't-kelp' }, parts: 1 },
      { of: { kind: 'block' as const, id: 't-foam' }, parts: 3 },
    ];
    const wanted = [{ words: '1 kelp + 3 foam' }, { parts, basis: 'volume' as const }];
    const predicted = (await client.call('predict', { params: { id }, body: { wanted } })).body;
    expect(predicted.predicted[0].lab).toEqual(predicted.predicted[1].lab);

    const aim = predicted.predicted[0].lab as [number, number, number];
    const found = await done(client, {
      do: 'find',
      clayModelId: id,
      aim,
      parts: 8,
      order: 'closest',
    });
    expect(found.state).toBe('done');
    const { recipes } = found.result as { recipes: { dE00: number; parts: unknown }[] };
    expect(recipes[0].dE00).toBeLessThan(0.01);
    expect(recipes[0].parts).toEqual([
      { clay: 'foam', parts: 3 },
      { clay: 'kelp', parts: 1 },
    ]);
    const rules = { without: ['kelp'], mostLines: 1 };
    const without = await done(client, { do: 'find', clayModelId: id, aim, parts: 8, rules });
    expect(without.problem).toBeUndefined();
    expect(JSON.stringify(without.result!.recipes)).not.toContain('kelp');
    const next = await done(client, { do: 'next-tile', clayModelId: id, tiles: 1, parts: 8 });
    expect(next.problem).toBeUndefined();
    const tried = await done(client, { do: 'try', clayModelId: id, aim, parts: 6, mostClays: 2 });
    expect(tried.problem).toBeUndefined();
    expect((tried.result as { balls: unknown[] }).balls).toHaveLength(3);

    await change(
      'Saved the mix',
      mix(
        'moss',
        [
          ['block', 't-kelp', 1],
          ['block', 't-foam', 3],
        ],
        {
          predicted: { lab: aim, plusMinus: predicted.predicted[0].plusMinus, clayModelId: id },
        },
      ),
    );
    const near = (
      await client.call('nearest', { query: { l: aim[0], a: aim[1], b: aim[2], kind: 'mix' } })
    ).body;
    expect(near.near[0].record.id).toBe('moss');
    const unknown = await refused(
      client.call('predict', { params: { id }, body: { wanted: [{ words: '1 mud' }] } }),
    );
    expect(unknown.code).toBe('clay-unknown');
  });

  it('imports files as jobs: notes in shorthand, readings, an export', async () => {
    const { client } = here;
    await change('Began', line('deep', 'Deep'), block('d-fern', 'deep', { name: 'Fern' }));
    const text = 'D7 deep fern: 3 Fern 1 Fern\n';
    const call = { do: 'import', as: 'shorthand', fileName: 'page 3', text };
    const looked = await done(client, { ...call, check: true });
    expect(looked.result).toMatchObject({ mixes: 1 });
    const kept = await done(client, call);
    expect(kept.problem).toBeUndefined();
    expect((kept.call as { text: string }).text).toBe('');
    const found = await client.call('search', { query: { text: 'D7', kind: 'mix' } });
    expect(found.body.records[0].body).toMatchObject({ code: 'D7' });
    const csv = 'tile,of,L,a,b\nX1,Fern,40,-20,15\nX2,Sea pen,60,40,10\n';
    const readings = { do: 'import', fileName: 'day.csv', text: csv };
    const unknown = await done(client, readings);
    expect(unknown.problem?.code).toBe('clay-not-in-book');
    const taken = await done(client, { ...readings, newLine: 'Deep' });
    expect(taken.result).toMatchObject({ readings: 2, tiles: 2, blocks: 1 });
    const again = await done(client, { ...readings, newLine: 'Deep' });
    expect(again.result).toMatchObject({ readings: 0, same: 2 });
    const broken = await done(client, { do: 'import', as: 'export', fileName: 'x', text: '{' });
    expect(broken.problem?.kind).toBe('bad-input');
  });

  it('verifies and backs up as jobs, and stops a job that is no longer wanted', async () => {
    const { client } = here;
    const verified = await done(client, { do: 'verify' });
    expect(verified.result).toMatchObject({ troubles: [] });
    const backed = await done(client, { do: 'backup' });
    expect(backed.state).toBe('done');
    const models = await client.call('listRecords', { query: { kind: 'clay-model' } });
    const call = {
      do: 'find',
      clayModelId: models.body.records[0].id,
      aim: [10, 60, -60],
      mostClays: 4,
      parts: 60,
    } as const;
    const { body } = await client.call('startJob', { body: call as never });
    const stopped = await client.call('cancelJob', { params: { id: body.id } });
    expect(['cancelled', 'done']).toContain(stopped.body.state);
    expect((await ended(client, body.id)).state).toBe(stopped.body.state);
  });
});

describe('jobs over a stop of the program', () => {
  it('are found, and done again', async () => {
    const first = await running();
    await first.client.call('makeRecord', {
      body: { kind: 'line', body: { name: 'x', status: 'current' } },
    });
    const { body } = await first.client.call('startJob', { body: { do: 'verify' } });
    await first.end(true);
    const second = await running({}, first.folder);
    const job = await ended(second.client, body.id);
    expect(job.state).toBe('done');
    await second.end();
  });
});
