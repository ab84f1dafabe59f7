import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mean, randomFrom } from '../../bench/random.ts';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { pixelOf } from '../../src/core/photo/plane-view.ts';
import { type Photographed, photographOf } from '../studio-camera/photograph.ts';
import { photographedOnce } from '../studio-camera/photographed-once.ts';
import { callHere } from './program.ts';

describe('kneadwell read', () => {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-read-'));
  const at = (name: string) => join(folder, name);
  let photo: Photographed;

  beforeAll(async () => {
    // Daylight, a Display P3 JPEG.
    photo = await photographedOnce(25, 'D65');
    writeFileSync(at('tray.jpg'), photo.bytes);
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('reads every tile of a tray near its true colour', async () => {
    const { code, out } = await callHere([
      'read',
      at('tray.jpg'),
      '--chart',
      'before 2014',
      '--json',
    ]);
    expect(code).toBe(0);
    const [answer] = JSON.parse(out).photos;
    expect(answer.profileFollowed).toBe(true);
    expect(answer.sheet.name).toBe(photo.scene.layout.name);
    const names = photo.scene.tiles.map(({ place }) => place);
    expect(answer.tiles.map((t: { name: string }) => t.name)).toEqual(names);
    const misses = answer.tiles.map((t: { lab: [number, number, number] }, i: number) =>
      deltaE2000(t.lab, photo.scene.tiles[i].lab),
    );
    expect(mean(misses)).toBeLessThan(1.5);
    for (const [i, { centre }] of answer.chart.patches.entries()) {
      const [x, y] = photo.rendered.patches[i];
      expect(Math.hypot(centre[0] - x, centre[1] - y)).toBeLessThan(3);
    }
    const size = 3 * names.length;
    expect(answer.sharedCov.length).toBe(size);
    expect(answer.chart.correction.heldOutMean).toBeLessThan(2);
  });

  it('says it in words', async () => {
    const { out } = await callHere(['read', at('tray.jpg'), '--chart', 'before 2014']);
    expect(out).toContain('What colour are the tiles in');
    expect(out).toMatch(/Corrected by \d+ of 24 patches/);
    expect(out).toMatch(/ ± \d/);
  });

  it('writes readings that learn takes', async () => {
    const rows = photo.scene.layout.places.map((_, i) => `Clay ${String.fromCharCode(65 + i)}`);
    writeFileSync(at('of.csv'), `of\n${rows.join('\n')}\n`);
    const written = await callHere([
      ...['read', at('tray.jpg'), '--chart', 'before 2014'],
      ...['--tiles', at('of.csv'), '--out', at('readings.csv')],
    ]);
    expect(written.err).toBe('');
    expect(written.out).not.toContain('name them with --tiles');
    expect(readFileSync(at('readings.csv'), 'utf8')).toContain('tile,of,L,a,b,spread,photo,kind\n');
    const learned = await callHere(['learn', at('readings.csv'), '--out', at('clay.json')]);
    expect(learned.err).toBe('');
    expect(learned.code).toBe(0);
  });

  it('finds the same sheet by its corners, set by hand', async () => {
    const { layout } = photo.scene;
    const [left, top] = layout.markers[0].at;
    const far = layout.markers.at(-1)!;
    const [right, bottom] = [far.at[0] + far.sideMm, far.at[1] + far.sideMm];
    const corners = (
      [
        [left, top],
        [right, top],
        [right, bottom],
        [left, bottom],
      ] as const
    ).map((p) =>
      pixelOf(photo.rendered.view, p)
        .map((v) => v.toFixed(1))
        .join(','),
    );
    const { out } = await callHere([
      ...['read', at('tray.jpg'), '--chart', 'before 2014', '--json'],
      ...['--sheet', layout.name, '--corners', corners.join(' ')],
    ]);
    const [answer] = JSON.parse(out).photos;
    expect(answer.tiles.length).toBe(photo.scene.tiles.length);
  });

  it('takes several photos together, and a board of its own', async () => {
    const second = await photographOf({ ...photo.scene, noise: 0.006 }, randomFrom(2));
    writeFileSync(at('second.jpg'), second.bytes);
    writeFileSync(at('board.json'), JSON.stringify({ ...photo.scene.layout, name: 'my board' }));
    const { out } = await callHere([
      ...['read', at('tray.jpg'), at('second.jpg'), '--chart', 'before 2014', '--json'],
      ...['--sheet', at('board.json')],
    ]);
    const answer = JSON.parse(out);
    expect(answer.photos[0].sheet.name).toBe('my board');
    expect(answer.tiles.length).toBe(photo.scene.tiles.length);
    for (const [i, { photos, lab, disagree }] of answer.tiles.entries()) {
      expect([photos, disagree]).toEqual([2, false]);
      const [a, b] = answer.photos.map((p: { tiles: { lab: number[] }[] }) => p.tiles[i].lab[0]);
      expect(lab[0]).toBeGreaterThanOrEqual(Math.min(a, b) - 0.01);
      expect(lab[0]).toBeLessThanOrEqual(Math.max(a, b) + 0.01);
    }
  });

  it('reads tapped tiles without sheet and chart, and says they are rough', async () => {
    const tile = photo.scene.tiles[0];
    const place = photo.scene.layout.places.find(({ name }) => name === tile.place)!;
    const [x, y] = pixelOf(photo.rendered.view, place.centre);
    const { out } = await callHere([
      ...['read', at('tray.jpg'), '--sheet', 'none', '--chart', 'none', '--json'],
      ...['--tap', `mine@${x.toFixed(0)},${y.toFixed(0)}`],
    ]);
    const [answer] = JSON.parse(out).photos;
    expect(answer.rough).toEqual({ balanced: 'as the camera did' });
    expect(answer.tiles[0].name).toBe('mine');
    expect(answer.tiles[0].cov[0][0]).toBeGreaterThan(9);
  });

  it('says which tap met no tile', async () => {
    const { out } = await callHere([
      ...['read', at('tray.jpg'), '--sheet', 'none', '--chart', 'none'],
      ...['--tap', 'far@99999,10'],
    ]);
    expect(out).toContain('No tile was found where far was tapped');
    expect(out).toContain('--tap "NAME@X,Y"');
    const kept = ['read', at('tray.jpg'), '--chart', 'before 2014', '--out', at('unnamed.csv')];
    expect((await callHere(kept)).out).toContain('name them with --tiles');
  });

  it('tells a control tile that drifted from one that did not', async () => {
    const [one, other] = photo.scene.tiles;
    const row = (name: string, lab: readonly number[]) =>
      `${name},Clay,${lab.map((v) => v.toFixed(2)).join(',')},0.6`;
    const moved = [other.lab[0] - 9, other.lab[1], other.lab[2] + 9];
    writeFileSync(
      at('controls.csv'),
      `tile,of,L,a,b,spread\n${row(one.place, one.lab)}\n${row(other.place, moved)}\n`,
    );
    const { out } = await callHere([
      ...['read', at('tray.jpg'), '--chart', 'before 2014', '--json'],
      ...['--controls', at('controls.csv')],
    ]);
    const { drifts } = JSON.parse(out);
    expect(drifts.map((d: { drifted: boolean }) => d.drifted)).toEqual([false, true]);
  });

  it.each([
    [['read'], 'Name at least one file'],
    [['read', 'x.jpg', '--corners', '1,2 3,4 5,6 7,8'], '--sheet A4 or Letter'],
    [['read', 'x.jpg', '--sheet', 'A4', '--corners', '1,2 3,4'], 'four places in pixels'],
    [['read', 'x.jpg', '--chart-at', '640'], 'a place in pixels, like "640,480"'],
    [['read', 'x.jpg', '--tap', 'here'], 'a name and a place'],
  ])('refuses %j in words', async (words, said) => {
    const { code, err } = await callHere(words);
    expect(code).toBe(2);
    expect(err).toContain(said);
  });
});

describe('kneadwell tray-sheet', () => {
  it('writes a PDF of the paper asked for, the same every time', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'kneadwell-sheet-'));
    const out = join(folder, 'sheet.pdf');
    const words = ['tray-sheet', '--out', out, '--paper', 'letter', '--codes', 'K1, F2'];
    const { code } = await callHere(words);
    expect(code).toBe(0);
    const first = readFileSync(out);
    // ISO 32000-1: 72 points to the inch; US Letter is 612 by 792 of them.
    expect(first.toString('latin1')).toMatch(/\/MediaBox \[0 0 612 792\]/);
    await callHere(words);
    expect(readFileSync(out).equals(first)).toBe(true);
    rmSync(folder, { recursive: true });
  });
});
