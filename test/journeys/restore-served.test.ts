import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { restoreBackup } from '../../src/store/restore-backup.ts';
import { done, HOME_ADDRESS, type Running, rawCall, running } from '../server/running.ts';

/** A book restored while it is served: looked at, asked for, put in place, told of. */
describe('a restore of a served book', () => {
  let run: Running;
  beforeEach(async () => {
    run = await running();
  });
  afterEach(async () => {
    await run.end();
  });

  const line = (name: string) =>
    run.client.call('makeRecord', {
      body: { kind: 'line', id: name.toLowerCase(), body: { name, status: 'current' } },
    });
  const lines = async () => {
    const { body } = await run.client.call('listRecords', { query: { kind: 'line' } });
    return body.records.map((record) => (record.body as { name: string }).name);
  };
  const backedUp = async () => {
    const { body: asked } = await run.client.call('startJob', { body: { do: 'backup' } });
    await waitFor(async () => {
      const { body } = await run.client.call('getJob', { params: { id: asked.id } });
      return body.state === 'done';
    });
    const { body } = await run.client.call('listBackups', {});
    return body.backups[0].name;
  };
  const throughWith = (id: string) =>
    waitFor(async () => {
      const { body } = await run.client.call('listBackups', {});
      return body.restored?.id === id;
    });

  it('brings back what the backup holds, and keeps what was twice: as a backup and aside', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    await line('Brindle');
    const { body: offer } = await run.client.call('lookAtBackup', { params: { name } });
    expect(offer.newerChanges).toBe(1);
    expect(offer.holds.counts).toEqual([{ kind: 'line', live: 1 }]);
    expect(offer.now.counts).toEqual([{ kind: 'line', live: 2 }]);
    expect(await lines()).toEqual(['Brindle', 'Saltmarsh']);

    const { body } = await run.client.call('restoreBook', { params: { id: offer.id } });
    await throughWith(offer.id);
    expect(await lines()).toEqual(['Saltmarsh']);
    // What was lies beside it as a backup, and can be put back in the same way.
    const { body: was } = await run.client.call('lookAtBackup', { params: { name: body.keptAs } });
    expect(was.holds.counts).toEqual([{ kind: 'line', live: 2 }]);
    const aside = readdirSync(run.folder).filter((one) => one.startsWith('before-restore-'));
    expect(aside).toHaveLength(1);
    expect(existsSync(join(run.folder, aside[0], 'book.sqlite'))).toBe(true);
    await run.client.call('restoreBook', { params: { id: was.id } });
    await throughWith(was.id);
    expect(await lines()).toEqual(['Brindle', 'Saltmarsh']);
    // And it is written in as any other book.
    await line('Lantern');
    expect(await lines()).toEqual(['Brindle', 'Lantern', 'Saltmarsh']);
    expect(run.troubles).toEqual([]);
  });

  it('takes a backup as a file, from another book, and gives it back byte for byte', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    const path = join(run.folder, 'backups', name);
    const { body: bytes } = await run.client.call('backupBytes', { params: { name } });
    expect(Buffer.from(bytes).equals(readFileSync(path))).toBe(true);
    const other = await running();
    try {
      const { body: offer } = await other.client.call(
        'offerBackup',
        { query: { fileName: 'studio.zip' }, body: new Uint8Array(bytes) },
        { mediaType: 'application/zip' },
      );
      expect(offer.fileName).toBe('studio.zip');
      // Another book: how many changes it lacks means nothing.
      expect(offer.newerChanges).toBeUndefined();
      await other.client.call('restoreBook', { params: { id: offer.id } });
      await waitFor(async () => {
        const { body } = await other.client.call('listBackups', {});
        return body.restored?.id === offer.id;
      });
      const { body } = await other.client.call('listRecords', { query: { kind: 'line' } });
      expect(body.records).toHaveLength(1);
      expect(readdirSync(other.folder).includes('incoming')).toBe(false);
    } finally {
      await other.end();
    }
  });

  it.each([
    ['no archive', Buffer.from('a text file that says nothing'), 'not-a-backup'],
    ['a torn archive', undefined, 'not-a-backup'],
  ])('refuses %s, keeps nothing of it, and changes nothing', async (_, bytes, code) => {
    await line('Saltmarsh');
    const name = await backedUp();
    const whole = readFileSync(join(run.folder, 'backups', name));
    const sent = new Uint8Array(bytes ?? whole.subarray(0, whole.length / 2));
    await expect(
      run.client.call(
        'offerBackup',
        { query: { fileName: 'mine.zip' }, body: sent },
        { mediaType: 'application/zip' },
      ),
    ).rejects.toMatchObject({ code, detail: expect.stringMatching(/^mine\.zip /) });
    expect(await lines()).toEqual(['Saltmarsh']);
    expect(readdirSync(join(run.folder, 'incoming'))).toEqual([]);
  });

  it('needs a new look when the last one was discarded, and refuses foreign names', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    const { body: offer } = await run.client.call('lookAtBackup', { params: { name } });
    await run.client.call('dropRestore', { params: { id: offer.id } });
    await expect(
      run.client.call('restoreBook', { params: { id: offer.id } }),
    ).rejects.toMatchObject({ code: 'restore-not-offered' });
    for (const path of ['kneadwell-none.zip', '..%2fbook.sqlite', 'kneadwell-%2f..%2fx.zip']) {
      const { status } = await rawCall(`${run.server.url}/api/v1/backups/${path}/bytes`);
      expect([400, 404]).toContain(status);
    }
  });

  it('opens the old book again where the backup is gone when it is to be put in place', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    await line('Brindle');
    const { body: offer } = await run.client.call('lookAtBackup', { params: { name } });
    rmSync(join(run.folder, 'backups', name));
    // The book as it is now is backed up first, under the name of the second: it must not be the name that is gone.
    const second = Math.floor(Date.now() / 1000);
    await waitFor(async () => Math.floor(Date.now() / 1000) > second);
    await run.client.call('restoreBook', { params: { id: offer.id } });
    await throughWith(offer.id);
    const { body } = await run.client.call('listBackups', {});
    expect(body.restored?.refused?.detail).toContain(name);
    expect(await lines()).toEqual(['Brindle', 'Saltmarsh']);
    expect(run.troubles.splice(0)).toHaveLength(1);
  });

  it('stops work that was being done in the book that goes', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    const { body: offer } = await run.client.call('lookAtBackup', { params: { name } });
    const asked = await Promise.all(
      Array.from({ length: 6 }, () => run.client.call('startJob', { body: { do: 'verify' } })),
    );
    await run.client.call('restoreBook', { params: { id: offer.id } });
    await throughWith(offer.id);
    for (const { body } of asked) {
      const { body: job } = await run.client.call('getJob', { params: { id: body.id } });
      expect(['done', 'cancelled']).toContain(job.state);
    }
  });

  it('is the owner’s alone: a paired device may not look, delete or restore', async () => {
    await run.client.call('setNetwork', { body: { on: true } });
    const door = `http://${HOME_ADDRESS}:${run.server.port}/api/v1`;
    const { body: pairing } = await run.client.call('startPairing', {});
    const paired = await rawCall(`${door}/pair`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ code: pairing.code, name: 'phone', as: 'program' }),
    });
    const { token } = JSON.parse(paired.text) as { token: string };
    const headers = { authorization: `Bearer ${token}` };
    const tried = [
      ['GET', '/backups'],
      ['GET', '/backups/kneadwell-x.zip/bytes'],
      ['POST', '/backups/kneadwell-x.zip/look'],
      ['POST', '/restores/some'],
      ['DELETE', '/restores/some'],
    ] as const;
    for (const [method, path] of tried) {
      const { text } = await rawCall(`${door}${path}`, { method, headers });
      expect(JSON.parse(text)).toMatchObject({ code: 'owner-only' });
    }
    const sent = await rawCall(`${door}/restores`, {
      method: 'POST',
      headers: { ...headers, 'content-type': 'application/zip' },
      body: Buffer.from('PK'),
    });
    expect(JSON.parse(sent.text)).toMatchObject({ code: 'owner-only' });
  });

  it('is ended by the next start where the program was killed after it was decided', async () => {
    await line('Saltmarsh');
    const name = await backedUp();
    await line('Brindle');
    const from = join(run.folder, 'backups', name);
    await run.end(true);
    await expect(
      restoreBackup({
        from,
        folder: run.folder,
        nowEpochMs: Date.UTC(2026, 0, 1),
        before: (step) => {
          if (step === 'move in') throw new Error('killed');
        },
      }),
    ).rejects.toThrow('killed');
    writeFileSync(join(run.folder, 'left.txt'), 'by a crash');
    run = await running({}, run.folder);
    expect(await lines()).toEqual(['Saltmarsh']);
  });
});

describe('the invented studio in a served book', () => {
  let run: Running;
  beforeEach(async () => {
    run = await running();
  });
  afterEach(async () => {
    await run.end();
  });
  const state = async () => (await run.client.call('demo', {})).body;

  it('moves into an empty book as one change, goes in one, and comes back by one', async () => {
    expect(await state()).toEqual({ offered: true, inside: 0, leaning: 0 });
    const { body: moved } = await run.client.call('moveDemoIn', {});
    const { inside } = await state();
    expect(inside).toBe(moved.records.length);
    expect(inside).toBeGreaterThan(500);
    // A mix of the user made of its clays is deleted with them, and named before.
    await run.client.call('makeRecord', {
      body: {
        kind: 'mix',
        body: {
          name: 'Mine',
          basis: 'volume',
          status: 'saved',
          parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 1 }],
        },
      },
    });
    // The model of its clays is deleted too, and does not count as a record of the user.
    const learned = await done(run.client, {
      do: 'learn',
      name: 'Two of them',
      blockIds: ['kelp', 'foam'],
    });
    expect(learned.state).toBe('done');
    expect(await state()).toEqual({ offered: false, inside, leaning: 1 });
    const { body: cleared } = await run.client.call('clearDemoOut', {});
    expect(cleared.records).toHaveLength(inside + 2);
    expect(await state()).toEqual({ offered: true, inside: 0, leaning: 0 });
    await run.client.call('undo', { body: { seq: cleared.group.seq } });
    expect(await state()).toEqual({ offered: false, inside, leaning: 1 });
    await run.client.call('redo', { body: { seq: cleared.group.seq } });
    // Again, after a restore.
    await run.client.call('moveDemoIn', {});
    expect(await state()).toEqual({ offered: false, inside, leaning: 0 });
    const job = await run.client.call('startJob', { body: { do: 'verify' } });
    await waitFor(async () => {
      const { body } = await run.client.call('getJob', { params: { id: job.body.id } });
      if (body.state === 'done') expect(body.result?.troubles).toEqual([]);
      return body.state === 'done';
    });
  });

  it('is never mixed into a book that is not empty, and does not change the user’s own records', async () => {
    await run.client.call('makeRecord', {
      body: { kind: 'line', id: 'brindle', body: { name: 'Brindle', status: 'current' } },
    });
    await expect(run.client.call('moveDemoIn', {})).rejects.toMatchObject({
      code: 'book-not-empty',
    });
    // A line that only has the name of one of the demo's is no part of it.
    expect(await state()).toEqual({ offered: false, inside: 0, leaning: 0 });
    await expect(run.client.call('clearDemoOut', {})).rejects.toMatchObject({
      code: 'no-demo-here',
    });
  });
});

async function waitFor(look: () => Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 400; tries++) {
    // Between two books nobody answers.
    if (await look().catch((fault) => notAnswering(fault))) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('what was waited for did not come');
}

function notAnswering(fault: unknown): boolean {
  if ((fault as { code?: string }).code === 'server-away') return false;
  throw fault;
}
