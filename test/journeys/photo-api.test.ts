import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { P3, sRGB, to } from 'colorjs.io/fn';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mean } from '../../bench/random.ts';
import type { Job } from '../../src/api/job-routes.ts';
import type { PhotoDraft } from '../../src/api/photo-routes.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { traySheetLayout } from '../../src/core/photo/sheet-layout.ts';
import type { PhotoResult } from '../../src/domain/photo-result.ts';
import { done, ended, type Running, running } from '../server/running.ts';
import { displayP3Profile, type Photographed, withProfile } from '../studio-camera/photograph.ts';
import { photographedOnce } from '../studio-camera/photographed-once.ts';

let run: Running;
let tray: Photographed;
let draft: PhotoDraft;
let nowEpochMs = Date.now();

beforeAll(async () => {
  run = await running({ nowEpochMs: () => nowEpochMs });
  // Daylight, a Display P3 JPEG.
  tray = await photographedOnce(25, 'D65');
  draft = await laid(tray.bytes, 'tray.jpg');
});
afterAll(async () => {
  expect(run.troubles).toEqual([]);
  await run.end();
});

async function laid(bytes: Uint8Array, fileName: string, mediaType = 'image/jpeg') {
  const { body } = await run.client.call(
    'addPhotoDraft',
    { query: { fileName }, body: bytes },
    { mediaType },
  );
  return body;
}

const problemOf = (call: Promise<unknown>) =>
  call.then(
    () => undefined,
    (fault) => fault.toJSON(),
  );
const answer = (job: Job) => job.result?.photo as PhotoResult;
const counts = async (kind: string) =>
  (await run.client.call('countRecords', {})).body.counts.find((one) => one.kind === kind)?.live ??
  0;

describe('a photo that waits to be accepted', () => {
  it('is returned upright, with a small picture in sRGB', async () => {
    expect(draft).toMatchObject({ fileName: 'tray.jpg', mediaType: 'image/jpeg' });
    expect([draft.widthPx, draft.heightPx]).toEqual([tray.rendered.width, tray.rendered.height]);
    const { body, mediaType } = await run.client.call('draftPreview', { params: { id: draft.id } });
    expect(mediaType).toBe('image/jpeg');
    const { width, height } = await sharp(body).metadata();
    expect({ widthPx: width, heightPx: height }).toEqual(draft.preview);
    expect(Math.max(width!, height!)).toBeLessThanOrEqual(1600);
  });

  it('shows a Display P3 colour as sRGB has it, CSS Color 4', async () => {
    const flat = await sharp({
      create: { width: 80, height: 80, channels: 3, background: { r: 120, g: 160, b: 90 } },
    })
      .jpeg({ quality: 100, chromaSubsampling: '4:4:4' })
      .toBuffer();
    const { id } = await laid(
      withProfile(new Uint8Array(flat), await displayP3Profile()),
      'p3.jpg',
    );
    const { body } = await run.client.call('draftPreview', { params: { id } });
    const { data } = await sharp(body).raw().toBuffer({ resolveWithObject: true });
    const { coords } = to({ space: P3, coords: [120 / 255, 160 / 255, 90 / 255], alpha: 1 }, sRGB);
    // The file, its profile's short curve and the small picture each round once.
    for (let c = 0; c < 3; c++) {
      expect(Math.abs(data[3 * 800 + c] - 255 * coords[c]!)).toBeLessThanOrEqual(2);
    }
    await run.client.call('dropPhotoDraft', { params: { id } });
    expect(await problemOf(run.client.call('getPhotoDraft', { params: { id } }))).toMatchObject({
      code: 'photo-not-waiting',
      kind: 'not-found',
    });
  });

  it.each([
    ['a text', Buffer.from('Sea moss, 5 Kelp'), 'application/octet-stream', 'photo-unreadable'],
    ['a page called a photo', Buffer.from('<!doctype html><p>x'), 'image/jpeg', 'photo-unreadable'],
    [
      'a head that claims a billion pixels',
      Buffer.from('89504e470d0a1a0a0000000d4948445200008000000080000802000000', 'hex'),
      'image/png',
      'photo-too-large',
    ],
    ['nothing', new Uint8Array(0), 'image/png', undefined],
  ] as const)('is never %s', async (_, bytes, mediaType, code) => {
    const problem = await problemOf(laid(bytes, 'x.jpg', mediaType));
    expect(problem.kind).toBe('bad-input');
    if (code !== undefined) expect(problem.code).toBe(code);
    expect(problem.hint.length).toBeGreaterThan(10);
  });

  it('is never a torn one', async () => {
    const torn = tray.bytes.subarray(0, tray.bytes.length / 3);
    expect(await problemOf(laid(torn, 'torn.jpg'))).toMatchObject({ code: 'photo-unreadable' });
    expect(readdirSync(join(run.folder, 'drafts')).length).toBe(3);
  });
});

describe('the job read-photo', () => {
  let read: PhotoResult;

  it('reads a waiting photo off the loop of the server, and keeps nothing', async () => {
    const before = await run.client.call('countRecords', {});
    const { body } = await run.client.call('startJob', {
      body: { do: 'read-photo', photo: { draftId: draft.id }, chart: 'before 2014' },
    });
    // It answers all the while: on its own thread it would be silent for a second.
    let looks = 0;
    let job = body;
    for (; job.state === 'waiting' || job.state === 'running'; looks++) {
      job = (await run.client.call('getJob', { params: { id: body.id } })).body;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    expect(looks).toBeGreaterThan(5);
    expect(job.problem).toBeUndefined();
    read = answer(job);
    const misses = read.tiles.map(({ name, lab }) =>
      deltaE2000(lab, tray.scene.tiles.find(({ place }) => place === name)!.lab),
    );
    expect(misses.length).toBe(tray.scene.tiles.length);
    expect(mean(misses)).toBeLessThan(1.5);
    expect(read.tells.colours).toBeGreaterThan(0.5);
    expect(read.tells.colours).toBeLessThan(3);
    expect(read.chart?.correction?.heldOutMean).toBeLessThan(2);
    expect(read.tiles[0].spread).toBeGreaterThan(0.1);
    expect(await run.client.call('countRecords', {})).toEqual(before);
  });

  it('finds the same by the corners it told, and says drifts of control tiles', async () => {
    const [one, other] = read.tiles;
    const job = await done(run.client, {
      do: 'read-photo',
      photo: { draftId: draft.id },
      sheet: tray.scene.layout.name,
      chart: 'before 2014',
      corners: read.sheet!.markerCorners,
      controls: [
        { name: one.name, earlier: [{ lab: one.lab, spread: 0.5 }] },
        {
          name: other.name,
          earlier: [
            { lab: [Math.max(1, other.lab[0] - 12), other.lab[1], other.lab[2]], spread: 0.5 },
          ],
        },
      ],
    });
    for (const tile of answer(job).tiles) {
      const before = read.tiles.find(({ name }) => name === tile.name)!;
      expect(Math.hypot(...tile.centre.map((v, i) => v - before.centre[i]))).toBeLessThan(8);
    }
    expect(job.result?.drifts).toMatchObject([
      { name: one.name, drifted: false },
      { name: other.name, drifted: true },
    ]);
  });

  it('reads by a board and a chart of the user', async () => {
    const rows = read.chart!.patches.map(({ name }, i) => `${name},Chart,${20 + 3 * i},0,0`);
    const job = await done(run.client, {
      do: 'read-photo',
      photo: { draftId: draft.id },
      sheet: { board: { ...tray.scene.layout, name: 'My board' } },
      chart: { fileName: 'mine.csv', text: ['tile,of,L,a,b', ...rows].join('\n') },
    });
    expect(answer(job).sheet?.name).toBe('My board');
    const lacking = await done(run.client, {
      do: 'read-photo',
      photo: { draftId: draft.id },
      chart: { fileName: 'mine.csv', text: ['tile,of,L,a,b', ...rows.slice(2)].join('\n') },
    });
    expect(lacking.problem).toMatchObject({ code: 'chart-incomplete' });
    expect(lacking.problem?.detail).toContain('A1, A2');
  });

  it('reads tapped tiles where there is no sheet', async () => {
    const [{ centre, lab }] = read.tiles;
    const job = await done(run.client, {
      do: 'read-photo',
      photo: { draftId: draft.id },
      sheet: 'none',
      chart: 'before 2014',
      taps: [{ name: 'tap 1', at: centre }],
    });
    const { tiles, sheet } = answer(job);
    expect(sheet).toBeNull();
    expect(tiles.map(({ name }) => name)).toEqual(['tap 1']);
    expect(deltaE2000(tiles[0].lab, lab)).toBeLessThan(4);
  });

  it('stops on request, and the next is read all the same', async () => {
    const { body } = await run.client.call('startJob', {
      body: { do: 'read-photo', photo: { draftId: draft.id } },
    });
    const state = async () =>
      (await run.client.call('getJob', { params: { id: body.id } })).body.state;
    while ((await state()) === 'waiting');
    await run.client.call('cancelJob', { params: { id: body.id } });
    expect((await ended(run.client, body.id)).state).toBe('cancelled');
    const next = await done(run.client, {
      do: 'read-photo',
      photo: { draftId: draft.id },
      chart: 'none',
    });
    expect(answer(next).tiles.length).toBe(read.tiles.length);
    // Without a chart the colours are rough, and their differences told far better.
    expect(answer(next).rough?.balanced).toBe('as the camera did');
    const { colours, differences } = answer(next).tells;
    expect(differences!).toBeLessThan(colours! / 1.5);
  });

  it('says in words what waits no more', async () => {
    const job = await done(run.client, { do: 'read-photo', photo: { draftId: 'gone' } });
    expect(job.problem).toMatchObject({ code: 'photo-not-waiting', status: 404 });
    const kept = await done(run.client, { do: 'read-photo', photo: { photoId: 'gone' } });
    expect(kept.problem).toMatchObject({ code: 'not-in-book' });
  });
});

describe('accepting', () => {
  const body = () => ({
    what: 'Read 1 tile from a photo',
    photos: [{ draftId: draft.id, id: 'photo-1', name: 'The tray' }],
    steps: [
      {
        do: 'put' as const,
        kind: 'line' as const,
        id: 'salt',
        body: { name: 'Saltmarsh', status: 'current' as const },
      },
      {
        do: 'put' as const,
        kind: 'block' as const,
        id: 'kelp',
        body: {
          lineId: 'salt',
          name: 'Kelp',
          clayType: 'opaque' as const,
          status: 'current' as const,
        },
      },
      {
        do: 'put' as const,
        kind: 'reading' as const,
        id: 'r1',
        body: {
          of: { kind: 'block' as const, id: 'kelp' },
          readingKind: 'measured' as const,
          state: 'baked' as const,
          lab: {
            values: [40, -20, 20] as [number, number, number],
            light: 'D50' as const,
            observer: 2 as const,
          },
          spread: 0.5,
          geometry: 'excluded' as const,
          photoId: 'photo-1',
          region: { left: 0.1, top: 0.1, width: 0.1, height: 0.1 },
        },
      },
    ],
  });

  it('keeps nothing where any of it does not fit', async () => {
    const wrong = body();
    wrong.steps[2].body = { ...wrong.steps[2].body, photoId: 'photo-2' } as never;
    expect(await problemOf(run.client.call('acceptPhotos', { body: wrong }))).toMatchObject({
      code: 'leans-on-nothing',
    });
    expect(await counts('photo')).toBe(0);
    expect(await counts('block')).toBe(0);
  });

  it('keeps photo and readings as one change, which can be taken back and done again', async () => {
    const first = await run.client.call('acceptPhotos', { body: body() }, { key: 'accept-1' });
    const again = await run.client.call('acceptPhotos', { body: body() }, { key: 'accept-1' });
    expect(again.body.group.seq).toBe(first.body.group.seq);
    expect(first.body.records.map(({ kind }) => kind)).toEqual([
      'photo',
      'line',
      'block',
      'reading',
    ]);
    const bytes = await run.client.call('photoBytes', { params: { id: 'photo-1' } });
    expect(Buffer.compare(Buffer.from(bytes.body), Buffer.from(tray.bytes))).toBe(0);
    await run.client.call('undo', { body: { seq: first.body.group.seq } });
    expect([await counts('photo'), await counts('reading'), await counts('block')]).toEqual([
      0, 0, 0,
    ]);
    await run.client.call('redo', { body: { seq: first.body.group.seq } });
    expect(await counts('reading')).toBe(1);
  });

  it('lets the kept photo be read and shown like any other', async () => {
    const job = await done(run.client, { do: 'read-photo', photo: { photoId: 'photo-1' } });
    expect(answer(job).tiles.length).toBe(tray.scene.tiles.length);
    const { body: jpeg } = await run.client.call('photoPreview', { params: { id: 'photo-1' } });
    expect((await sharp(jpeg).metadata()).format).toBe('jpeg');
  });

  it('throws what was accepted away an hour later, what was not after two days', async () => {
    const other = await laid(tray.bytes, 'other.jpg');
    nowEpochMs += 61 * 60 * 1000;
    expect(
      await problemOf(run.client.call('getPhotoDraft', { params: { id: draft.id } })),
    ).toMatchObject({ code: 'photo-not-waiting' });
    expect((await run.client.call('getPhotoDraft', { params: { id: other.id } })).body.id).toBe(
      other.id,
    );
    nowEpochMs += 48 * 60 * 60 * 1000;
    const newest = await laid(tray.bytes, 'newest.jpg');
    expect(readdirSync(join(run.folder, 'drafts')).sort()).toEqual(
      ['json', 'photo', 'preview'].map((ending) => `${newest.id}.${ending}`),
    );
  });
});

describe('the tray sheet', () => {
  it('comes as a PDF to be printed, with the codes asked for', async () => {
    const { body, mediaType } = await run.client.call('traySheet', {
      query: { paper: 'Letter', codes: ['K7', 'K8'] },
    });
    expect(mediaType).toBe('application/pdf');
    expect(Buffer.from(body.subarray(0, 5)).toString()).toBe('%PDF-');
    const { widthMm, heightMm } = traySheetLayout('Letter');
    const [, width, height] = /MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(
      Buffer.from(body).toString('latin1'),
    )!;
    // 72 points an inch of 25.4 mm.
    expect((Number(width) / 72) * 25.4).toBeCloseTo(widthMm, 1);
    expect((Number(height) / 72) * 25.4).toBeCloseTo(heightMm, 1);
  });
});
