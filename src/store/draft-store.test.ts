import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PhotoDraft } from '../api/photo-routes.ts';
import { draftStoreIn, sweepDrafts } from './draft-store.ts';

const draft: PhotoDraft = {
  id: 'd1',
  fileName: 'tray.jpg',
  mediaType: 'image/jpeg',
  bytes: 3,
  widthPx: 4,
  heightPx: 3,
  preview: { widthPx: 4, heightPx: 3 },
  notes: [],
  createdAt: '2026-01-01T00:00:00.000Z',
  expiresAt: '2026-01-03T00:00:00.000Z',
};
const photo = Uint8Array.of(1, 2, 3);
const preview = Uint8Array.of(4);
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-drafts-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('photos that wait', () => {
  it('come back as they were, and go whole', async () => {
    const store = draftStoreIn(folder);
    await store.put(draft, photo, preview);
    const later = draftStoreIn(folder);
    expect(await later.get('d1')).toEqual(draft);
    expect(new Uint8Array((await later.photo('d1'))!)).toEqual(photo);
    expect(new Uint8Array((await later.preview('d1'))!)).toEqual(preview);
    expect(await later.list()).toEqual([draft]);
    await later.remove('d1');
    expect(readdirSync(folder)).toEqual([]);
    expect(await later.photo('d1')).toBeUndefined();
  });

  it('are none where a crash left them half-written', async () => {
    await draftStoreIn(folder).put(draft, photo, preview);
    for (const name of ['d2.photo', 'd2.preview', 'd3.new']) writeFileSync(join(folder, name), '');
    writeFileSync(join(folder, 'd4.json'), '{"id":"d4"');
    await sweepDrafts(folder);
    expect(readdirSync(folder).sort()).toEqual(['d1.json', 'd1.photo', 'd1.preview', 'd4.json']);
    expect(await draftStoreIn(folder).list()).toEqual([draft]);
  });

  it('are named by no path', async () => {
    await expect(draftStoreIn(folder).get('../book')).rejects.toThrow('no name of a draft');
  });
});
