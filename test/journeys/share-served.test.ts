import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { shareFromText } from '../../src/domain/share/share-codec.ts';
import { done, type Running, running } from '../server/running.ts';
import { callHere } from './program.ts';

const AUTHOR = { author: 'Ines Limpet', licence: 'personal' } as const;

let here: Running;
let other: Running;
beforeAll(async () => {
  here = await running();
  await here.client.call('moveDemoIn', {});
  other = await running();
});
afterAll(async () => {
  expect([...here.troubles, ...other.troubles]).toEqual([]);
  await other.end();
  await here.end();
});

const textOf = (body: Uint8Array) => new TextDecoder().decode(body);

describe('sharing from a server', () => {
  it('says what leaves, and another book takes it in after a look, and gives it back', async () => {
    const choice = { ...AUTHOR, mixes: { mixIds: ['sea-moss', 'starfish-back'] } };
    const seen = (await here.client.call('previewShare', { body: choice })).body;
    expect(seen.mixes).toBe(2);
    expect(seen.leaves.join(' ')).toContain('Ines Limpet');
    const text = textOf((await here.client.call('makeShare', { body: choice })).body);
    const file = { do: 'import', fileName: 'recipes.share.json', text } as const;
    const looked = await done(other.client, { ...file, check: true });
    expect(looked.result).toMatchObject({ as: 'share', author: 'Ines Limpet', mixes: 2 });
    const counted = async () =>
      (await other.client.call('countRecords', {})).body.counts.find(({ kind }) => kind === 'mix')
        ?.live ?? 0;
    expect(await counted()).toBe(0);
    const taken = await done(other.client, file);
    expect(taken.state).toBe('done');
    expect(await counted()).toBe(2);
    await other.client.call('undo', { body: {} });
    expect(await counted()).toBe(0);
  });

  it('makes a card whose photo another book reads', async () => {
    const card = { ...AUTHOR, mixes: { mixIds: ['sea-moss'] }, as: 'png', others: false } as const;
    const png = (await here.client.call('makeCard', { body: card })).body;
    const photo = new Blob([png as BlobPart], { type: 'image/png' });
    const { title, text } = (await other.client.call('readCard', { body: photo })).body;
    expect(title).toBe('Sea moss W1');
    expect(shareFromText(text, title).author).toBe('Ines Limpet');
  });

  it('refuses a damaged file in words, and takes nothing', async () => {
    const text = textOf(
      (await here.client.call('makeShare', { body: { ...AUTHOR, mixes: { all: true } } })).body,
    ).replace('Sea moss', 'Sea mess');
    const file = { do: 'import', fileName: 'a.json', text } as const;
    const { state, problem } = await done(other.client, file);
    expect(state).toBe('failed');
    expect(problem?.code).toBe('share-file-damaged');
    expect(problem?.hint).toContain('Nothing was taken');
  });
});

describe('sharing from the command line', () => {
  it('writes a file that the next book takes in, and a card that it reads', async () => {
    const share = join(here.folder, 'mine.share.json');
    const card = join(here.folder, 'card.png');
    const labels = join(here.folder, 'labels.pdf');
    const from = ['--folder', here.folder, '--author', 'Ines Limpet', '--mixes', 'W1'];
    for (const call of [
      ['share', '--out', share],
      ['card', '--alone', '--out', card],
      ['print', 'labels', '--out', labels],
    ]) {
      expect(await callHere([...call, ...from])).toMatchObject({ code: 0, err: '' });
    }
    expect(readFileSync(labels).subarray(0, 5).toString()).toBe('%PDF-');
    const to = join(here.folder, 'another');
    const looked = await callHere(['import', '--check', '--folder', to, share]);
    expect(looked.out).toContain('Ines Limpet: 1 mix can be taken in; nothing was saved.');
    expect((await callHere(['import', '--folder', to, card])).out).toContain(
      'taken in, marked as theirs',
    );
    const { out } = await callHere(['show', '--folder', to, '--json', 'W1']);
    expect(JSON.parse(out).record.body.collectionIds).toHaveLength(1);
    rmSync(to, { recursive: true, force: true });
  });
});
